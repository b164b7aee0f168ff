package linnet.render;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.hear.Told;
import linnet.list.Take;
import linnet.plan.SongPlan;
import linnet.plan.SongPlanner;
import linnet.song.Song;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.store.Store;
import linnet.text.ProblemsException;
import linnet.weigh.Aiming;
import linnet.weigh.PartMarks;
import linnet.weigh.RenderedScales;
import linnet.weigh.Weighing;

/** Renders songs from their text and sounds, into memory. */
final class SongRig {
    static final double RATE = 48_000;

    /** A bar lasts a second: 240 bpm in four. */
    static final String HEAD = """
            song: noises
            tempo: 240 bpm
            sections: { verse: 1, chorus: 3, end: 5 }
            """;

    private final Path folder;
    /** What the last render heard in its parts before it aimed. */
    PartMarks marks;
    /** Where the last render put its throws. */
    Aiming aiming;
    /** Levels that the last render found by ear. */
    List<Weighing.Found> levels;
    /** Works that the last render took from the store. */
    List<String> found;
    /** How it joined its takes. */
    List<SongFindings.PartJoint> joins;
    /** What it silenced by marks. */
    List<SongFindings.Mute> mutes;
    /** What its plan says to the user. */
    List<String> notes;

    SongRig(Path folder) {
        this.folder = folder;
    }

    Map<String, double[][]> render(String text, int jobs, Sound... takes) throws ProblemsException, IOException {
        return whole(HEAD + text, jobs, takes);
    }

    /** @param told of each take; of those past its end nothing */
    Map<String, double[][]> render(String text, int jobs, List<Told> told, Sound... takes) throws ProblemsException, IOException {
        return whole(HEAD + text, jobs, told, takes);
    }

    /** With a head of its own. */
    Map<String, double[][]> whole(String text, int jobs, Sound... takes) throws ProblemsException, IOException {
        return whole(text, jobs, List.of(), takes);
    }

    Map<String, double[][]> whole(String text, int jobs, List<Told> told, Sound... takes) throws ProblemsException, IOException {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, text);
        Song song = SongReader.read(file, Builtins.catalogue());
        List<Integer> channels = List.of(takes).stream().map(Sound::channels).toList();
        Map<String, double[][]> prints = new LinkedHashMap<>();
        List<SongRenderer.Take> heard = new ArrayList<>();
        for (Sound t : takes) heard.add(new SongRenderer.Take(t, heard.size() < told.size() ? told.get(heard.size()) : Told.nothing(), Take.of("", t).sound()));
        Store store = new Store(folder.resolve("store " + jobs), 1 << 30);
        Sums sums = new Sums();
        RenderedScales scales = new RenderedScales(heard, "test", store, sums, jobs);
        marks = new PartMarks(song, RATE, channels, scales);
        aiming = Aiming.of(song, RATE, marks);
        Weighing weighing = Weighing.of(aiming.song(), RATE, channels, scales);
        levels = weighing.found();
        SongPlan plan = SongPlanner.plan(weighing.song(), RATE, channels);
        notes = plan.notes();
        try (SongRenderer renderer = new SongRenderer(plan, heard, "test", store, sums, jobs)) {
            renderer.render((print, frames) -> {
                double[][] whole = new double[print.channels()][(int) frames];
                prints.put(print.name(), whole);
                int[] at = {0};
                return List.of((x, n) -> {
                    for (int c = 0; c < whole.length; c++) System.arraycopy(x[c], 0, whole[c], at[0], n);
                    at[0] += n;
                });
            });
            found = renderer.found();
            joins = renderer.findings().joins();
            mutes = renderer.findings().mutes();
        }
        return prints;
    }

    /** A stretch of the mix as it is previewed, where nothing was heard or kept before. */
    double[][] preview(String text, double from, double to, Sound... takes) throws ProblemsException, IOException {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, HEAD + text);
        Song song = SongReader.read(file, Builtins.catalogue());
        SongPlan plan = SongPlanner.plan(song, RATE, List.of(takes).stream().map(Sound::channels).toList());
        List<SongRenderer.Take> heard = List.of(takes).stream().map(t -> new SongRenderer.Take(t, Told.nothing(), Take.of("", t).sound())).toList();
        double[][] print = new double[2][(int) Math.round((to - from) * RATE)];
        int[] at = {0};
        try (SongRenderer renderer = new SongRenderer(plan, heard, "test", new Store(folder.resolve("store of previews"), 1 << 30), new Sums(), 1)) {
            renderer.preview(Math.round(from * RATE), Math.round(to * RATE), new BusFacts(), (x, n) -> {
                for (int c = 0; c < print.length; c++) System.arraycopy(x[c], 0, print[c], at[0], n);
                at[0] += n;
            });
        }
        return print;
    }

    /** What the chain of a part, group or return finds by hearing, where nothing was heard or kept before. */
    List<Resolved> resolved(String of, String text, Sound... takes) throws ProblemsException, IOException {
        return resolved(of, text, new Store(Files.createTempDirectory(folder, "store"), 1 << 30), takes);
    }

    /** The same after the song was rendered, in the same words or others, with one job. */
    List<Resolved> resolvedAfterwards(String of, String text, Sound... takes) throws ProblemsException, IOException {
        return resolved(of, text, new Store(folder.resolve("store 1"), 1 << 30), takes);
    }

    /** The same by what is heard and kept in a shelf. */
    List<Resolved> resolved(String of, String text, Shelf store, Sound... takes) throws ProblemsException, IOException {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, HEAD + text);
        Song song = SongReader.read(file, Builtins.catalogue());
        SongPlan plan = SongPlanner.plan(song, RATE, List.of(takes).stream().map(Sound::channels).toList());
        List<SongRenderer.Take> heard = List.of(takes).stream().map(t -> new SongRenderer.Take(t, Told.nothing(), Take.of("", t).sound())).toList();
        try (SongRenderer renderer = new SongRenderer(plan, heard, "test", store, new Sums(), 1);
                SongRenderer.OnceMore chain = renderer.onceMore(plan.works().stream().filter(w -> w.name().equals(of)).findFirst().orElseThrow())) {
            return chain.renderer(Witness.NONE, 0).resolve().resolved();
        }
    }

    /** A buzz of some pitch with pauses, so that there is something to aim at. */
    static Samples sung(int pitch, double seconds, double level) {
        double[] x = new double[(int) (seconds * RATE)];
        java.util.SplittableRandom random = new java.util.SplittableRandom(pitch);
        for (int i = 0; i < x.length; i++) {
            double t = i / RATE;
            x[i] = 0.001 * (random.nextDouble() - 0.5);
            if (t % 1 < 0.7) for (int k = 1; k < 12; k++) x[i] += level / k * Math.sin(2 * Math.PI * (180 + 20 * pitch) * k * t);
        }
        return new Samples(RATE, x);
    }

    /** The largest sample of a sum of prints less a print, in dBFS. */
    static double residue(Map<String, double[][]> prints, String whole, List<String> parts) {
        double most = 0;
        double[][] mix = prints.get(whole);
        for (int c = 0; c < mix.length; c++) {
            for (int i = 0; i < mix[c].length; i++) {
                double sum = 0;
                for (String p : parts) sum += prints.get(p)[c][i];
                most = Math.max(most, Math.abs(sum - mix[c][i]));
            }
        }
        return 20 * Math.log10(most + 1e-300);
    }

    static double rmsDb(double[][] x) {
        double sum = 0;
        for (double[] c : x) for (double v : c) sum += v * v / (c.length * x.length);
        return 10 * Math.log10(sum + 1e-300);
    }

    static Samples noise(int seed, double seconds, double level) {
        double[] x = new double[(int) (seconds * RATE)];
        java.util.SplittableRandom random = new java.util.SplittableRandom(seed);
        for (int i = 0; i < x.length; i++) x[i] = level * (2 * random.nextDouble() - 1);
        return new Samples(RATE, x);
    }

    /** Mean level between two seconds, in dBFS. */
    static double db(double[] x, double from, double to) {
        double sum = 0;
        for (int i = (int) (from * RATE); i < (int) (to * RATE); i++) sum += x[i] * x[i];
        return 10 * Math.log10(sum / ((to - from) * RATE));
    }
}
