package linnet.cli;

import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStreamWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import java.util.stream.Collectors;
import linnet.audio.Bext;
import linnet.audio.Origin;
import linnet.audio.Print;
import linnet.chain.Chain;
import linnet.chain.Link;
import linnet.deliver.Delivery;
import linnet.deliver.PrintFile;
import linnet.deliver.WantedPrint;
import linnet.plan.SongPlanner;
import linnet.render.Renderer;
import linnet.report.Clock;
import linnet.report.Sheet;
import linnet.report.SheetPage;
import linnet.report.SheetText;
import linnet.setting.Unit;
import linnet.setting.Value;
import linnet.song.Address;
import linnet.song.Credits;
import linnet.song.Excepted;
import linnet.song.Metre;
import linnet.song.Song;
import linnet.song.Timeline;
import linnet.song.Wishes;
import linnet.text.Word;
import linnet.tidy.Aims;

/** The sheet that goes with the prints of a song: what they are, how they were made, and of what. */
final class SongSheet {
    private static final List<String> ENDINGS = List.of(".md", ".html");
    private static final String SUMS = ".sha256";
    private static final int SHOWN_DIGITS = 12;
    /** In Hz: what ISO 16 has, and steps go by where nothing else is told. */
    private static final double USUAL_PITCH = 440;
    /** More than a sheet of a thousand prints. */
    static final long LARGEST = 16 << 20;
    /** A gating block of ITU-R BS.1770-5. */
    static final double BLOCK_SECONDS = 0.4;
    private static final String SILENT = "silent";
    /** In seconds: less is rounding. */
    private static final double HAIR = 5e-4;

    private final Song song;
    private final double rate;
    private final long frames;
    private final List<Sheet.Block> blocks = new ArrayList<>();

    /** @param song with levels where it had wishes, and throws where they belong */
    SongSheet(Song song, double rate, long frames) {
        this.song = song;
        this.rate = rate;
        this.frames = frames;
    }

    /** One print as a row. */
    private List<String> row(Song.Wanted asked, WantedPrint print, Bext.Loudness told, long frames, String sha256) {
        Print form = print.form();
        String kind = (form.format().isFloat() ? "32-bit float" : form.format().bits() + "-bit") + (form.channels() == 1 ? ", mono" : ", stereo");
        double from = (double) form.from() / form.rate(), seconds = (double) frames / form.rate();
        return List.of(print.path().getFileName().toString(), new WhatItIs(song).words(asked, from, from + seconds), kind, Clock.of(seconds),
                figure(told.integrated(), unmeasured(told.truePeak(), seconds)), figure(told.truePeak(), SILENT), sha256);
    }

    /**
     * Why a print has no loudness: it does not fill one block, or the gate lets nothing of it through. What is left says nothing of its peak where that is
     * silence.
     */
    private static String unmeasured(double truePeakDbtp, double seconds) {
        if (!(truePeakDbtp >= Renderer.QUIET_DBFS)) return SILENT;
        return seconds < BLOCK_SECONDS ? "too short" : "too soft";
    }

    private static String figure(double value, String none) {
        return Double.isNaN(value) || Double.isInfinite(value) ? none : String.format(Locale.ROOT, "%.1f", value);
    }

    /**
     * A row for each print, written or left.
     *
     * @param addingUp files that add up to the mix; none where that is not known
     */
    SongSheet prints(SongPrints prints, List<String> addingUp) {
        credits();
        sections();
        List<List<String>> rows = new ArrayList<>();
        for (Song.Wanted asked : song.prints()) {
            WantedPrint wanted = prints.wanted().get(asked.called());
            Optional<PrintFile> p = Optional.ofNullable(prints.written().get(asked.called()));
            if (p.isPresent()) {
                rows.add(row(asked, wanted, p.get().told(), p.get().frames(), p.get().sums().sha256()));
            } else {
                WantedPrint.There there = prints.left().get(asked.called());
                rows.add(row(asked, wanted, there.bext().loudness(), there.frames(), there.sound().sha256()));
            }
        }
        boolean stretches = song.prints().stream().anyMatch(w -> w.range().isPresent());
        blocks.add(new Sheet.Table("Prints",
                (stretches ? "All but stretches begin together." : "All begin together.")
                + (addingUp.isEmpty() ? "" : " These add up to the mix: " + String.join(", ", addingUp) + ".")
                + (song.mix().links().isEmpty() ? "" : " The bus is the chain of the mix: it goes by all of the mix, in each stem as in the mix itself.")
                + " Loudness and true peak after ITU-R BS.1770-5; the checksum is the SHA-256 of the sound in the file, which 'linnet explain' looks at. "
                + "SHA-256 of whole files: " + name(song) + SUMS + ".",
                List.of("File", "What it is", "Form", "Length", "LUFS", "dBTP", "Checksum of the sound"), rows));
        return this;
    }

    private void credits() {
        Credits credits = song.label().credits();
        if (credits.isEmpty()) return;
        List<String> lines = credits.rows().entrySet().stream().map(e -> e.getKey() + ": " + String.join("; ", e.getValue())).toList();
        blocks.add(new Sheet.Lines("The song", lines.isEmpty() ? "" : credits.about(), lines, credits.about()));
    }

    private void sections() {
        List<List<String>> rows = new ArrayList<>();
        for (Timeline.Section s : song.time().sections()) {
            rows.add(List.of(s.name(), String.valueOf(s.from()), Clock.of(song.time().start(s.from())), Clock.of(song.time().start(s.to())), tempo(s)));
        }
        blocks.add(new Sheet.Table("Sections", "", List.of("Section", "Bar", "From", "To", "Tempo"), rows));
    }

    /** With the bars at which it changes inside. */
    private String tempo(Timeline.Section s) {
        StringBuilder words = new StringBuilder(Unit.BPM.format(song.time().bpm(song.time().start(s.from()))));
        song.time().tempos().subMap(s.from(), false, s.to(), false)
                .forEach((bar, bpm) -> words.append(", from bar ").append(bar).append(" on ").append(Unit.BPM.format(bpm)));
        return words.toString();
    }

    /** What holds in all of the song, or from which bar on what does, as the text has it. */
    private static <T> String byBar(String what, Map<Integer, T> values, Function<T, String> words) {
        if (values.values().stream().distinct().count() == 1) return words.apply(values.get(1));
        return what + " " + values.entrySet().stream().map(e -> "bar " + e.getKey() + ": " + words.apply(e.getValue())).collect(Collectors.joining(", "));
    }

    SongSheet checks(List<Delivery.Finding> findings, boolean left) {
        List<List<String>> rows = findings.stream().map(f -> List.of(f.check().word(), f.state().word(), f.text())).toList();
        blocks.add(new Sheet.Table("Checks", left ? "Prints that were there already were checked when they were written." : "",
                List.of("Check", "Result", "What was found"), rows));
        return this;
    }

    /** Chains, with what stands before and behind them. */
    SongSheet chains() {
        List<Sheet.Chain> chains = new ArrayList<>();
        for (Song.Part p : SongPlanner.parts(song)) {
            chains.add(chain(p.name(), "Part" + into(p.into())
                    + fader(p.name(), p.fader()) + sends(p.name(), p.sends()) + givingWay(p.name()) + p.tidy()
                    .map(SongSheet::tidied).orElse("") + Excepted.words(song, p).map(", "::concat).orElse(""), p.chain()));
            p.each().filter(own -> !own.links().isEmpty()).ifPresent(own -> chains.add(chain(p.name().text() + ": each", "After the chain of "
                    + p.name().text() + ", in place of the each of " + song.groupOf(p).orElseThrow().name().text(), own)));
        }
        List<String> excepted = song.parts().stream().filter(p -> p.each().isPresent()).map(p -> p.name().text()).toList();
        for (Song.Group g : song.groups()) {
            String members = String.join(", ", g.parts().stream().map(Word::text).toList());
            List<String> through = g.parts().stream().map(Word::text).filter(n -> !excepted.contains(n)).toList();
            if (!g.each().links().isEmpty() && !through.isEmpty()) {
                chains.add(chain(g.name().text() + ": each", "After the chain of each of " + String.join(", ", through), g.each()));
            }
            chains.add(chain(g.name(), "Group of " + members + fader(g.name(), g.fader()) + sends(g.name(), g.sends()) + givingWay(g.name()), g.chain()));
        }
        for (Song.Return r : song.returns()) chains.add(chain(r.name(), "Return" + fader(r.name(), r.fader()) + givingWay(r.name()), r.chain()));
        chains.add(mix());
        blocks.add(new Sheet.Chains("Chains",
                "As it was rendered: levels that were found by ear with what was wished behind them, and each step with the settings that the song gives it; "
                + "those it does not give have their usual values, and those that move their course, by seconds of the song.", chains));
        return this;
    }

    /** A wanted loudness has a trim of its own behind the chain of the mix: behind any that the text calls the same. */
    private Sheet.Chain mix() {
        Sheet.Chain plain = chain("mix", "All of it", song.mix());
        if (song.wishes().loud().isEmpty()) return plain;
        List<String> steps = new ArrayList<>(plain.steps());
        int trim = song.mix().links().stream().map(Link::name).toList().lastIndexOf(Wishes.Loud.TRIM);
        steps.set(trim, steps.get(trim) + " (" + Unit.PLAIN.format(song.wishes().loud().get().lufs(), 1) + " LUFS)");
        return new Sheet.Chain(plain.name(), plain.about(), steps);
    }

    private static String into(double db) {
        return db == 0 ? "" : ", " + Unit.DB.format(db) + " into its chain";
    }

    private String fader(Word name, Song.Fader f) {
        String wished = song.wishes().balance().stream().filter(b -> b.what().text().equals(name.text())).map(b -> " (" + b.words() + ")")
                .collect(Collectors.joining());
        return ", level " + Unit.DB.format(f.level()) + wished + (f.pan() == 0 ? "" : ", " + Unit.PAN.format(f.pan()));
    }

    private String sends(Word from, List<Song.Send> sends) {
        return sends.isEmpty() ? ""
                : ", sends to " + String.join(", ",
                        sends.stream().map(s -> s.to().text() + " " + Unit.DB.format(s.level()) + wished(from, s)
                        + (s.beforeLevel() ? " before its level" : "")).toList());
    }

    private String wished(Word from, Song.Send send) {
        return song.wishes().wet().stream().filter(w -> w.from().text().equals(from.text()) && w.to().text().equals(send.to().text()))
                .map(w -> " (" + w.words() + ")").collect(Collectors.joining());
    }

    private String givingWay(Word name) {
        return song.wishes().ducks().stream().filter(d -> d.what().text().equals(name.text()))
                .map(d -> ", " + Unit.DB.format(d.by()) + " lower while " + d.from().text() + " sounds, attack " + Unit.MS.format(1000 * d.attack())
                + ", release " + Unit.MS.format(1000 * d.release())).collect(Collectors.joining());
    }

    private static String tidied(Song.Tidy tidy) {
        Aims aims = tidy.aims();
        List<String> words = new ArrayList<>();
        aims.timing().ifPresent(t ->
                words.addAll(List.of("timing " + Unit.MS.format(1000 * t), "reach " + Unit.MS.format(1000 * aims.reach()),
                        "stretch " + Unit.PERCENT.format(100 * aims.stretch()))));
        if (aims.breaths()) words.add("breaths removed");
        aims.consonants().ifPresent(db -> words.add("consonants " + Unit.DB.format(db) + " softer"));
        if (aims.ends()) words.add("ends with " + tidy.like().text());
        if (aims.level() instanceof Aims.Level.Lead) words.add("level with " + tidy.like().text());
        if (aims.level() instanceof Aims.Level.At at) words.add("level " + Unit.DBFS.format(at.dbfs()));
        tidy.except().forEach(r -> words.add("except " + Clock.of(r.from()) + " to " + Clock.of(r.to())));
        return ", tidied like " + tidy.like().text() + (words.isEmpty() ? "" : ": " + String.join(", ", words));
    }

    /** What each part sings before all that. */
    SongSheet parts(SongTakes takes) {
        Sung sung = new Sung(takes);
        blocks.add(new Sheet.Items("Parts",
                "What each sings, from where to where in the song, and what is done to it before it is tidied and goes through its chain.",
                SongPlanner.parts(song).stream().map(p -> new Sheet.Item(p.name().text() + ": " + sung.words(p), Sheet.items(sung.lines(p)))).toList()));
        return this;
    }

    /** Levels, places and sends that are other somewhere than all through the song. */
    SongSheet moves() {
        List<List<String>> rows = new ArrayList<>();
        for (Song.Move m : song.moves()) {
            for (Song.Stretch s : m.where()) rows.add(List.of(where(s), moving(m), byHowMuch(m), ramp(s)));
        }
        if (!rows.isEmpty()) {
            blocks.add(new Sheet.Table("Moves",
                    "Levels, places and sends by section; differences add up. A ramp ends where its stretch begins, and leads back from where that ends. "
                    + "Settings that move stand in their chains.", List.of("Where", "What", "By how much", "Ramp"), rows));
        }
        return this;
    }

    private String where(Song.Stretch s) {
        String times = " (" + Clock.of(s.from()) + " to " + Clock.of(Math.min(s.to(), frames / rate)) + ")";
        for (Timeline.Section section : song.time().sections()) {
            boolean all = Math.abs(song.time().start(section.from()) - s.from()) < HAIR && Math.abs(song.time().start(section.to()) - s.to()) < HAIR;
            if (all) return section.name() + times;
        }
        return Address.of(song.time(), s.from()) + " to " + (song.time().isEnd(s.to()) ? "end" : Address.of(song.time(), s.to())) + times;
    }

    private static String moving(Song.Move m) {
        if (m.of() instanceof Song.Fading.Send send) return m.what().text() + " to " + send.to().text();
        return m.what().text() + (m.of() == Song.Fading.Own.PAN ? " pan" : "");
    }

    private static String byHowMuch(Song.Move m) {
        boolean pan = m.of() == Song.Fading.Own.PAN;
        if (m.to()) return "to " + (pan ? Unit.PAN : Unit.DB).format(m.value());
        if (pan) return Unit.PERCENT.format(Math.abs(m.value())) + (m.value() < 0 ? " further left" : " further right");
        return (m.value() > 0 ? "+" : "") + Unit.DB.format(m.value());
    }

    private static String ramp(Song.Stretch s) {
        String in = Unit.MS.format(1000 * s.in(), 0);
        if (s.out() == Double.POSITIVE_INFINITY) return in + ", and it stays so";
        return Math.abs(s.out() - s.in()) < HAIR ? in : in + " there, " + Unit.MS.format(1000 * s.out(), 0) + " back";
    }

    /** Words that are thrown, where they are once they were heard. */
    SongSheet thrown() {
        return lines("Throws", "Words that are sent to a return of their own, where they were found.", song.thrown().stream().map(this::thrown).toList());
    }

    private String thrown(Song.Throw t) {
        return t.part().text() + " at " + Address.of(song.time(), t.from()) + " (" + Clock.of(t.from()) + ") for " + Unit.SECONDS.format(t.length()) + " to "
                + t.to().text() + ", level " + Unit.DB.format(t.level())
                + ", fade in " + Unit.MS.format(1000 * t.in()) + ", fade out " + Unit.MS.format(1000 * t.out())
                        + (t.isStopped() ? ", stopped at " + Clock.of(t.stop()) : "");
    }

    private static Sheet.Chain chain(Word name, String about, Chain chain) {
        return chain(name.text(), about, chain);
    }

    private static Sheet.Chain chain(String name, String about, Chain chain) {
        return new Sheet.Chain(name, (chain.title().isEmpty() ? about : about + ". Chain: " + chain.title()),
                chain.links().stream().map(SongSheet::step).toList());
    }

    private static String step(Link link) {
        String mix = link.mix().filter(m -> !m.equals(new Value.Amount(100)))
                .map(m -> ", mix " + (m instanceof Value.Amount a ? Unit.PERCENT.format(a.value()) : "that moves")).orElse("");
        if (link instanceof Link.Parallel p) {
            List<String> branches = p.branches().stream()
                    .map(b -> "[" + (b.level() instanceof Value.Amount a ? Unit.DB.format(a.value()) : "a level that moves")
                            + (b.links().isEmpty() ? "" : ": " + String.join("; ", b.links().stream().map(SongSheet::step).toList())) + "]").toList();
            return link.name() + ": " + String.join(" + ", branches) + mix;
        }
        Link.Use use = (Link.Use) link;
        String values = use.values().write(), inside = values.substring(1, values.length() - 1).strip();
        String named = use.name().equals(use.step().word()) ? use.name() : use.name() + " (" + use.step().word() + ")";
        return named + (inside.isEmpty() ? "" : ": " + inside) + mix;
    }

    /** What everything was made from. */
    SongSheet sources(List<Origin.Source> sources) {
        blocks.add(new Sheet.Table("Made from", "The ways are from the folder of the prints; checksums are the SHA-256 of the files.",
                List.of("File", "What", "Checksum"),
                sources.stream().map(s -> List.of(s.path(), s.kind().name().toLowerCase(Locale.ROOT), s.digest())).toList()));
        return this;
    }

    SongSheet warnings(List<String> lines) {
        blocks.add(new Sheet.Lines("To look at", "", lines, "Nothing."));
        return this;
    }

    SongSheet versions(String engine) {
        String[] words = engine.split(" ");
        String build = words[words.length - 1];
        blocks.add(new Sheet.Lines("Versions", "",
                List.of(Main.VERSION + ", build " + build.substring(0, Math.min(SHOWN_DIGITS, build.length())),
                        "Prints of integers have triangular dither, each its own."), ""));
        return this;
    }

    /** Whether both forms of it and the checksums are in the folder, of prints as they are now. */
    static boolean isThere(Path folder, Song song, List<Path> prints) throws IOException {
        return there(folder, song).size() == ENDINGS.size() && sums(folder, song).areThere(prints);
    }

    /** Those forms of it that are in the folder. */
    static List<Path> there(Path folder, Song song) {
        return ENDINGS.stream().map(e -> folder.resolve(name(song) + e)).filter(f -> Files.isRegularFile(f, LinkOption.NOFOLLOW_LINKS)).toList();
    }

    /** Refuses to take the place of what a person wrote. */
    static void refuse(Path folder, Song song) throws IOException {
        for (String ending : ENDINGS) {
            Path file = folder.resolve(name(song) + ending);
            if (Files.exists(file, LinkOption.NOFOLLOW_LINKS) && !isOurs(file)) {
                throw new Refusal(Exit.USAGE, file + " is there already, and is no sheet of ours; say --force to replace it");
            }
        }
        sums(folder, song).refuse();
    }

    private static FileSums sums(Path folder, Song song) {
        return new FileSums(folder.resolve(name(song) + SUMS));
    }

    private static boolean isOurs(Path file) throws IOException {
        if (!Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS) || Files.size(file) > LARGEST) return false;
        return new String(Files.readAllBytes(file), StandardCharsets.UTF_8).stripTrailing().endsWith(SheetText.END);
    }

    /** Writes it in both forms, with the checksums of the prints, of which so many are read at once. */
    void write(Path folder, List<Path> prints, int jobs) throws IOException {
        Song.Label label = song.label();
        List<String> facts = new ArrayList<>();
        if (label.revision() > 0) facts.add("revision " + label.revision());
        if (!label.date().isEmpty()) facts.add((label.date() + " " + label.time()).strip());
        if (label.clock() > 0) facts.add("time reference " + Clock.ofDay(label.clock()));
        Timeline time = song.time();
        facts.add(byBar("tempo", time.tempos(), Unit.BPM::format));
        facts.add(byBar("metre", time.metres(), Metre::words));
        if (time.pickUp() > 0) facts.add("pick-up " + Unit.PLAIN.format(time.pickUp(), 6) + (time.pickUp() == 1 ? " beat" : " beats"));
        song.label().tonality().key().ifPresent(k -> facts.add(k.words()));
        facts.add("A at " + Unit.HZ.format(song.label().tonality().reference().orElse(USUAL_PITCH)));
        facts.add(Clock.of(frames / rate));
        facts.add(Unit.HZ.format(rate));
        Sheet sheet = new Sheet(song.title(), String.join("; ", facts), blocks);
        for (String ending : ENDINGS) {
            new WholeFile(folder.resolve(name(song) + ending), true).write(to -> {
                Writer out = new BufferedWriter(new OutputStreamWriter(to, StandardCharsets.UTF_8));
                if (ending.equals(".md")) new SheetText(sheet).write(out);
                else new SheetPage(sheet).write(out);
                out.flush();
            });
        }
        sums(folder, song).write(prints, jobs);
    }

    /** What was found by ear and in the parts, of which some chapters may be empty. */
    SongSheet heard(List<Sheet.Chapter> chapters) {
        List<Sheet.Chapter> told = chapters.stream().filter(c -> !c.items().isEmpty()).toList();
        if (!told.isEmpty()) {
            blocks.add(new Sheet.Findings("Heard", "What was found by ear, and what was done at joins and to parts that follow another.", told));
        }
        return this;
    }

    SongSheet lines(String heading, String hint, List<String> lines) {
        if (!lines.isEmpty()) blocks.add(new Sheet.Lines(heading, hint, lines, ""));
        return this;
    }

    /** Of its files, without their endings. */
    static String name(Song song) {
        return song.fileName("sheet");
    }
}
