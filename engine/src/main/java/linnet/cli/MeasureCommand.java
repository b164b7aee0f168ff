package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonElement;
import com.google.gson.JsonNull;
import com.google.gson.JsonObject;
import com.google.gson.JsonPrimitive;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.math.BigDecimal;
import java.math.RoundingMode;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import linnet.audio.SoundFileException;
import linnet.audio.WavFile;
import linnet.hear.Bands;
import linnet.hear.Event;
import linnet.hear.Fact;
import linnet.hear.Facts;
import linnet.hear.Measured;
import linnet.hear.Resonance;
import linnet.text.ProblemsException;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(
        name = "measure",
        description = {
            "Measures takes: noise, voice, pitch range, resonances, sibilance and faults. What cannot be measured says why. "
                    + "Several files stand side by side."
        },
        mixinStandardHelpOptions = true)
final class MeasureCommand implements Callable<Integer> {
    /** Columns of figures beside the words in 80 characters. */
    private static final int ABREAST = 4, WORDS = 26, FIGURE = 13;

    @Spec
    CommandSpec spec;

    @Parameters(arity = "1..*", paramLabel = "TAKE.wav", description = "The takes to measure.")
    List<Path> takes;

    @Mixin
    TakeLists lists;

    @Option(names = "--json", description = "Print an array with an object for each file, in their order: what was measured, or why not.")
    boolean json;

    /** A take and all that was found out about it. */
    private record MeasuredTake(Path take, double rate, int channels, double seconds, TakeLists.Known known, Map<Fact, Measured<?>> facts,
            Remarks remarks) {}

    @Override
    public Integer call() {
        if (lists.marks != null && takes.size() > 1) throw new Refusal(Exit.USAGE, "--marks are of one take; lists beside the takes are found by themselves");
        List<MeasuredTake> measured = new ArrayList<>();
        List<Fault> faults = new ArrayList<>();
        JsonArray all = new JsonArray();
        for (Path take : takes) {
            // One bad file of a night's takes must not hide what was found in the others.
            Optional<Fault> fault = add(take, measured);
            fault.ifPresent(f -> f.say(spec.commandLine().getErr()));
            fault.ifPresent(faults::add);
            if (json) all.add(fault.map(f -> f.json(take)).orElseGet(() -> asJson(measured.get(measured.size() - 1))));
        }
        PrintWriter out = spec.commandLine().getOut();
        int code = faults.isEmpty() ? Exit.DONE : faults.get(0).code();
        if (json) {
            out.println(Json.of(takes.size() == 1 && measured.isEmpty() ? faults.get(0).json() : all));
        } else if (measured.isEmpty()) {
            return code;
        } else if (measured.size() == 1) {
            print(measured.get(0), out);
        } else {
            for (int from = 0; from < measured.size(); from += ABREAST) {
                if (from > 0) out.println();
                print(measured.subList(from, Math.min(from + ABREAST, measured.size())), from, out);
            }
        }
        return code;
    }

    /** Empty if the take could be measured; else why not. */
    private Optional<Fault> add(Path take, List<MeasuredTake> measured) {
        try {
            measured.add(measure(take));
            return Optional.empty();
        } catch (SoundFileException | ProblemsException e) {
            return Optional.of(fault(e));
        } catch (UncheckedIOException e) {
            if (e.getCause() instanceof SoundFileException refused) return Optional.of(fault(refused));
            throw e;
        }
    }

    private Fault fault(Exception e) {
        return takes.size() == 1 ? Fault.of(e) : Fault.ofOneOfSeveral(e);
    }

    private MeasuredTake measure(Path take) throws SoundFileException, ProblemsException {
        try (WavFile sound = WavFile.open(take)) {
            Remarks remarks = new Remarks(spec.commandLine().getErr());
            remarks.sayOfFile(take, sound);
            TakeLists.Known known = lists.of(take, sound, remarks::say);
            Facts facts = known.facts(sound);
            Map<Fact, Measured<?>> measured = new LinkedHashMap<>();
            for (Fact fact : Fact.ALL) measured.put(fact, fact.measure().apply(facts));
            return new MeasuredTake(take, sound.rate(), sound.channels(), sound.frames() / sound.rate(), known, measured, remarks);
        }
    }

    private static String about(MeasuredTake t) {
        return String.format(Locale.ROOT, "%s: %.2f s, %s, %.0f Hz", t.take(), t.seconds(), t.channels() == 1 ? "mono" : "stereo", t.rate());
    }

    /** One take, with the reasons and what is unsure. */
    private static void print(MeasuredTake t, PrintWriter out) {
        out.println(about(t));
        t.known().sayAll(out);
        t.facts().forEach((fact, m) -> {
            String told = m.known() ? told(fact, m.value().orElseThrow()) : "-  (" + m.reason() + ")";
            String doubt = m.known() && m.confidence() < 0.5 ? "   (unsure)" : "";
            out.println(("  " + pad(fact.words(), WORDS) + told).stripTrailing() + doubt);
        });
    }

    /** Takes side by side. */
    private static void print(List<MeasuredTake> measured, int from, PrintWriter out) {
        StringBuilder head = new StringBuilder(pad("", WORDS));
        for (int i = 0; i < measured.size(); i++) {
            out.println("[" + (from + i + 1) + "] " + about(measured.get(i)));
            head.append(String.format("%" + FIGURE + "s", "[" + (from + i + 1) + "]"));
        }
        out.println(head);
        for (Fact fact : Fact.ALL) {
            if (isSpectrum(fact)) continue;
            List<List<String>> columns = measured.stream().map(t -> figures(fact, t.facts().get(fact))).toList();
            int lines = columns.stream().mapToInt(List::size).max().orElse(0);
            for (int i = 0; i < lines; i++) {
                int row = i;
                String cells = columns.stream().map(c -> String.format("%" + FIGURE + "s", row < c.size() ? c.get(row) : "")).collect(Collectors.joining());
                out.println((pad(i == 0 ? fact.words() : "", WORDS) + cells + " " + fact.unit()).stripTrailing());
            }
        }
    }

    /** A whole spectrum is too much for a column. */
    private static boolean isSpectrum(Fact fact) {
        return fact.key().endsWith("octaves_dbfs");
    }

    /** What stands in a column, a line each. */
    private static List<String> figures(Fact fact, Measured<?> m) {
        if (!m.known()) return List.of("-");
        return m.value().orElseThrow() instanceof Bands bands ? levels(bands, 0, 1) : List.of(figure(fact, m.value().orElseThrow()));
    }

    private static String pad(String words, int width) {
        return String.format("%-" + width + "s", words);
    }

    private static String figure(Fact fact, Object value) {
        if (value instanceof List<?> list) return Integer.toString(list.size());
        return String.format(Locale.ROOT, "%." + fact.decimals() + "f", (Double) value);
    }

    /** A value in full, for a line of its own. */
    private static String told(Fact fact, Object value) {
        // Of a spectrum every other octave: 125 and 500 Hz, 2 and 8 kHz.
        if (value instanceof Bands bands) return String.join(", ", isSpectrum(fact) ? levels(bands, 1, 6) : levels(bands, 0, 1)) + " dBFS";
        if (value instanceof List<?> list && !list.isEmpty() && list.get(0) instanceof Resonance) {
            return list.stream().map(r -> resonant((Resonance) r)).collect(Collectors.joining("\n" + " ".repeat(WORDS + 2)));
        }
        return figure(fact, value) + " " + fact.unit();
    }

    private static String resonant(Resonance r) {
        return String.format(Locale.ROOT, "%.0f Hz, %.1f dB high, %.2f octaves wide", r.hz(), r.height(), r.width());
    }

    /** The levels of bands below 9 kHz, every so many from one on. */
    private static List<String> levels(Bands bands, int first, int step) {
        List<String> levels = new ArrayList<>();
        for (int i = first; i < bands.hz().length && bands.hz()[i] < 9000; i += step) {
            levels.add(String.format(Locale.ROOT, "%.0f Hz %.0f", bands.hz()[i], bands.dbfs()[i]));
        }
        return levels;
    }

    private static JsonObject asJson(MeasuredTake t) {
        JsonObject o = new JsonObject();
        o.addProperty("file", t.take().toString());
        Json.rate(o, t.rate());
        o.addProperty("channels", t.channels());
        o.addProperty("seconds", round(t.seconds(), 3));
        t.known().tell(o);
        JsonObject confidence = new JsonObject(), reasons = new JsonObject();
        t.facts().forEach((fact, m) -> {
            o.add(fact.key(), m.known() ? value(fact, m.value().orElseThrow(), t.rate()) : JsonNull.INSTANCE);
            if (m.known()) confidence.addProperty(fact.key(), round(m.confidence(), 2));
            else reasons.addProperty(fact.key(), m.reason());
        });
        o.add("confidence", confidence);
        o.add("not_measured", reasons);
        o.add(Remarks.KEY, t.remarks().json());
        return o;
    }

    private static JsonElement value(Fact fact, Object value, double rate) {
        if (value instanceof Double number) return new JsonPrimitive(round(number, fact.decimals() + 1));
        if (value instanceof Bands bands) {
            JsonObject o = new JsonObject();
            for (int i = 0; i < bands.hz().length; i++) Json.level(o, Long.toString(Math.round(bands.hz()[i])), bands.dbfs()[i]);
            return o;
        }
        JsonArray array = new JsonArray();
        for (Object one : (List<?>) value) array.add(one instanceof Resonance r ? resonance(r) : event((Event) one, rate));
        return array;
    }

    private static JsonObject resonance(Resonance r) {
        JsonObject o = new JsonObject();
        o.addProperty("hz", round(r.hz(), 1));
        o.addProperty("width_octaves", round(r.width(), 3));
        o.addProperty("height_db", round(r.height(), 2));
        return o;
    }

    private static JsonObject event(Event e, double rate) {
        JsonObject o = new JsonObject();
        o.addProperty("start_s", round(e.from() / rate, 4));
        o.addProperty("end_s", round(e.to() / rate, 4));
        o.addProperty("level_dbfs", round(e.dbfs(), 1));
        o.addProperty("confidence", round(e.confidence(), 2));
        return o;
    }

    private static BigDecimal round(double x, int decimals) {
        return BigDecimal.valueOf(x).setScale(decimals, RoundingMode.HALF_EVEN);
    }
}
