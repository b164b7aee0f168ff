package linnet.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import linnet.audio.SoundFileException;
import linnet.audio.WavFile;
import linnet.dsp.Excerpt;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.dsp.align.Offset;
import linnet.hear.Ear;
import linnet.plan.Plan;
import linnet.render.Renderer;
import linnet.render.Tail;
import linnet.render.Witness;
import linnet.report.ComparePage;
import linnet.report.ComparedVersion;
import linnet.setting.Unit;
import linnet.step.Curve;
import linnet.text.ProblemsException;

/** Versions of one passage on their way to a page: read or rendered, lined up, brought to one rate and one length. */
final class Comparison implements AutoCloseable {
    /** Every browser plays rates in this range (W3C, Web Audio API). */
    private static final double LOWEST_RATE = 8000, HIGHEST_RATE = 96_000;
    /** Farther apart than this, and a listener should be told. */
    private static final double NOTICED_SECONDS = 0.0005;
    /** Versions that end by so much before the passage are remarked on. */
    private static final double SHORT_SECONDS = 0.5;

    private record Version(String name, List<String> remarks, Sound sound, double seconds, List<Curve> curves) {}

    private final Passage passage;
    private final PrintWriter err;
    private final List<Version> versions = new ArrayList<>();
    private final List<WavFile> open = new ArrayList<>();
    private List<String> remarks = List.of();
    private WavFile first;

    Comparison(Passage passage, PrintWriter err) {
        this.passage = passage;
        this.err = err;
    }

    /** What the page says of all versions. */
    void remarks(List<String> all) {
        remarks = List.copyOf(all);
    }

    WavFile open(Path path) throws SoundFileException {
        WavFile file = WavFile.open(path);
        open.add(file);
        new Remarks(err).sayOfFile(path, file);
        return file;
    }

    /** Adds a sound whose sample 0 is that of the others. */
    void add(String name, Sound sound, List<String> remarks) {
        versions.add(new Version(name, remarks, sound, sound.frames() / sound.rate(), List.of()));
    }

    /** Adds a file of unknown origin. Where its sound lies elsewhere than in the first file, it is lined up or the offset is told. */
    void addFile(Path path, boolean align) throws SoundFileException {
        WavFile file = open(path);
        String name = path.getFileName().toString();
        if (first == null) {
            first = file;
            add(name, file, List.of());
            return;
        }
        Sound sound = Conversion.of(file, first.rate(), path.toString());
        Optional<Offset> offset = Offset.between(first, sound);
        if (offset.isEmpty() || Math.abs(offset.get().frames()) < NOTICED_SECONDS * first.rate() && !offset.get().inverted()) {
            add(name, file, align && offset.isEmpty() ? List.of("Not lined up: its sound does not show by how much it is off.") : List.of());
            return;
        }
        long frames = offset.get().frames();
        String where = frames == 0 ? "" : String.format(Locale.ROOT, "%d samples (%.1f ms) %s", Math.abs(frames), Math.abs(1000 * frames / first.rate()),
                frames > 0 ? "later" : "earlier");
        List<String> remarks = new ArrayList<>();
        if (offset.get().inverted()) remarks.add("Its polarity is inverted against the first.");
        if (frames != 0) {
            remarks.add(align ? "Lined up: it lay " + where + " than the first." : "Its sound lies " + where + " than in the first; --align lines it up.");
        }
        remarks.forEach(r -> err.println(path + ": " + r));
        if (align && frames != 0) add(name, new Excerpt(sound, frames, Math.max(0, sound.frames() - frames)), remarks);
        else add(name, file, remarks);
    }

    /** Renders the passage of a take through a plan. */
    void render(String name, Plan plan, Ear ear) throws ProblemsException, IOException {
        render(name, plan, ear, null);
    }

    /** Renders, and keeps the curves of one of the steps; none where {@code step} is null. */
    void render(String name, Plan plan, Ear ear, String step) throws ProblemsException, IOException {
        Sound take = ear.sound();
        long from = passage.from == null ? 0 : Math.round(passage.from * take.rate());
        long to = passage.to == null ? -1 : Math.round(passage.to * take.rate());
        if (from >= take.frames()) throw behind(take.frames() / take.rate());
        Gathered print = new Gathered(plan.output().channels());
        Renderer.Options usual = Renderer.Options.usual();
        try (Renderer renderer = new Renderer(plan, ear, new Renderer.Options(usual.block(), usual.threads(), new Tail.Auto(), from, to).fadingIn(),
                Progress.onTerminal("rendering " + shown(name), false), Witness.NONE)) {
            renderer.render(print::add);
            List<Curve> curves = step == null ? List.of()
                    : plan.steps().stream().filter(n -> n.name().equals(step)).findFirst().map(renderer::curves).orElse(List.of());
            Sound sound = new Samples(take.rate(), print.samples());
            versions.add(new Version(name, List.of(), new Excerpt(sound, -from, from + sound.frames()), (from + sound.frames()) / take.rate(), curves));
        }
    }

    private static String shown(String name) {
        return name.length() > 30 ? name.substring(0, 30) + "…" : name;
    }

    private static Refusal behind(double seconds) {
        return new Refusal(Exit.USAGE, "--from lies behind the end of the sound, at " + Unit.SECONDS.format(seconds));
    }

    /** Pieces of a print as they come. */
    private static final class Gathered {
        private final double[][] samples;
        private int frames;

        Gathered(int channels) {
            samples = new double[channels][1 << 16];
        }

        void add(double[][] x, int n) {
            for (int c = 0; c < samples.length; c++) {
                if (frames + n > samples[c].length) samples[c] = Arrays.copyOf(samples[c], 2 * (frames + n));
                System.arraycopy(x[c], 0, samples[c], frames, n);
            }
            frames += n;
        }

        double[][] samples() {
            double[][] all = new double[samples.length][];
            for (int c = 0; c < all.length; c++) all[c] = Arrays.copyOf(samples[c], frames);
            return all;
        }
    }

    /** Brings all to one rate and length and writes the page. */
    void write(String title) throws IOException {
        double rate = Math.max(LOWEST_RATE, Math.min(HIGHEST_RATE, versions.stream().mapToDouble(v -> v.sound.rate()).max().orElseThrow()));
        double end = versions.stream().mapToDouble(Version::seconds).max().orElseThrow();
        double from = passage.from == null ? 0 : passage.from;
        double to = passage.to == null ? end : Math.min(end, passage.to);
        if (from >= end) throw behind(end);
        long first = Math.round(from * rate);
        long frames = Math.round(to * rate) - first;
        if (frames < 1) throw new Refusal(Exit.USAGE, "the passage holds no sample; --to must be later");
        long bytes = versions.stream().mapToLong(v -> ComparePage.bytes(frames, v.sound.channels())).sum();
        if (bytes > ComparePage.MOST_BYTES) {
            throw new Refusal(Exit.USAGE,
                    String.format(Locale.ROOT,
                            "a page of %.0f s times %d versions would hold %d MB, more than %d MB; choose a shorter passage with --from and --to",
                    frames / rate, versions.size(), bytes / 1_000_000, ComparePage.MOST_BYTES / 1_000_000));
        }
        List<ComparedVersion> compared = new ArrayList<>();
        for (Version v : versions) {
            List<String> remarks = new ArrayList<>(v.remarks);
            if (v.sound.rate() != rate) remarks.add("Converted from " + Math.round(v.sound.rate()) + " Hz.");
            if (v.seconds < to - SHORT_SECONDS) {
                remarks.add(String.format(Locale.ROOT, "It ends %.1f s before the passage does; silence follows.", to - Math.max(from, v.seconds)));
            }
            Sound sound = Conversion.of(v.sound, rate, v.name);
            compared.add(new ComparedVersion(v.name, remarks, inMemory(new Excerpt(sound, first, frames)), v.curves));
        }
        ComparePage page = new ComparePage(title, remarks, from, compared);
        for (int i = 0; i < versions.size(); i++) {
            if (!page.isMatched(i)) err.println(versions.get(i).name + ": not matched in loudness: it is silent there or shorter than 0.4 s");
        }
        passage.write(page::write);
    }

    /** A page reads its sound several times over, and files and converted rates are slow to read. */
    private static Samples inMemory(Sound sound) {
        int frames = Math.toIntExact(sound.frames());
        double[][] x = new double[sound.channels()][frames];
        sound.read(0, x, frames);
        return new Samples(sound.rate(), x);
    }

    @Override
    public void close() {
        open.forEach(WavFile::close);
    }
}
