package linnet.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.function.Function;
import java.util.stream.Collectors;
import linnet.audio.Bext;
import linnet.audio.Dither;
import linnet.audio.Label;
import linnet.audio.Origin;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.SoundFileException;
import linnet.audio.WavFile;
import linnet.deliver.PrintFile;
import linnet.deliver.Replacement;
import linnet.deliver.ToDisk;
import linnet.deliver.WantedPrint;
import linnet.dsp.loudness.Loudness;
import linnet.files.Unfinished;
import linnet.plan.SongPlan;
import linnet.render.Renderer;
import linnet.render.SideBySide;
import linnet.render.Signature;
import linnet.render.SongRenderer;
import linnet.song.Song;
import linnet.song.Timeline;

/**
 * The prints of a song in their folder: those that are wanted, and of them those that are written and those that were there. They get their names together, or
 * none does: see {@link Replacement}.
 */
final class SongPrints implements AutoCloseable {
    private static final int BLOCK = 4800;

    private final Path folder;
    private final SampleFormat format;
    private final boolean force;
    /** All by name. */
    private final Map<String, WantedPrint> wanted = new LinkedHashMap<>();
    private final Map<String, PrintFile> written = new LinkedHashMap<>();
    private final Map<String, WantedPrint.There> left = new LinkedHashMap<>();

    /** @param format of those that the song gives no depth */
    SongPrints(Path folder, SampleFormat format, boolean force) {
        this.folder = folder;
        this.format = format;
        this.force = force;
    }

    /** All that are wanted, by name. */
    Map<String, WantedPrint> wanted() {
        return wanted;
    }

    /** Those that are written. */
    Map<String, PrintFile> written() {
        return written;
    }

    /** Those that were there with the samples that are wanted. */
    Map<String, WantedPrint.There> left() {
        return left;
    }

    /** Whether every one was there and says already what it would say. */
    boolean areAsTheyWere() {
        return written.isEmpty() && left.values().stream().allMatch(WantedPrint.There::isDescribed);
    }

    /** All files that they are made from. */
    List<Origin.Source> sources() {
        Set<Origin.Source> sources = new LinkedHashSet<>();
        wanted.values().forEach(w -> sources.addAll(w.origin().files()));
        return List.copyOf(sources);
    }

    /**
     * Wants the prints of a plan, in a folder that is made where it is missing.
     *
     * @param signatures by which the samples of a print are known
     * @throws Refusal where one would take the place of something else
     */
    void want(Song song, PlannedSong planned, SongPlan plan, Function<SongPlan.SongPrint, String> signatures) throws IOException {
        Provenance provenance = new Provenance(folder, song.label().texts());
        for (SongPlan.SongPrint p : plan.prints()) {
            wanted.put(p.name(), wanted(song, plan, p, signatures.apply(p), planned.engine(), provenance, planned.takes()));
        }
        for (WantedPrint w : wanted.values()) if (!w.seemsThere()) refuseToReplace(w, song.label());
        try {
            Files.createDirectories(folder);
        } catch (NoSuchFileException e) {
            // As in /proc, where the system makes what there is.
            throw Refusal.of(folder, Exit.USAGE, folder + ": no folder can be made there; choose another place");
        }
    }

    /** Where the samples go. */
    SongRenderer.Prints sinks(Song song, ToDisk disk) {
        return new Sinks(song, disk);
    }

    /** Completes what is written, where it can be read, and still be given up. */
    void seal() throws SoundFileException {
        for (PrintFile p : written.values()) p.seal();
    }

    /** Gives all of them their names; those that were there say what is new of them. Where that cannot be, what was there before is put back. */
    void release() throws IOException {
        Unfinished.FILES.together(this::renamed);
    }

    private Void renamed() throws IOException {
        try (Replacement names = new Replacement(written.values())) {
            try {
                SideBySide.run(written.values().stream().<Callable<Void>>map(p -> () -> {
                    names.release(p);
                    return null;
                }).toList(), written.size());
                for (WantedPrint.There there : left.values()) there.describe();
            } catch (IOException | RuntimeException | Error e) {
                List<Path> stay = names.undo();
                Optional<Fault> fault = e instanceof Exception known ? Optional.of(Fault.of(known)).filter(f -> f.defect().isEmpty()) : Optional.empty();
                if (stay.isEmpty() || fault.isEmpty()) throw e;
                throw new Refusal(fault.get().code(), fault.get().message() + "; replaced by then: " + stay.stream().map(p -> p.getFileName().toString())
                        .collect(Collectors.joining(", ")));
            }
        }
        return null;
    }

    /** What is there with other samples is replaced only where that was asked for. */
    private void refuseToReplace(WantedPrint w, Song.Label label) {
        if (force || !Files.exists(w.path(), LinkOption.NOFOLLOW_LINKS)) return;
        // Counted up it helps only where names tell it.
        boolean counted = label.revision() > 0 && label.names().contains("{revision}");
        if (!counted) throw Refusal.there(w.path());
        throw Refusal.of(w.path(), Exit.USAGE,
                w.path() + " is there already; say --force to replace it, or count 'revision' up in the song, which is " + label.revision() + " now");
    }

    /** Says how loud a print is and how high it goes, in LUFS and dBTP. */
    interface Levels {
        void are(double lufs, double dbtp);
    }

    void say(String name, Levels to) {
        PrintFile p = written.get(name);
        Bext.Loudness told = p == null ? left.get(name).bext().loudness() : p.told();
        to.are(told.integrated(), told.truePeak());
    }

    /**
     * How long a print is, and by what its sound is known.
     *
     * @param frames samples of each channel
     * @param sha256 of the bytes of its sound
     */
    record Extent(long frames, String sha256) {}

    Extent extent(String name) {
        PrintFile p = written.get(name);
        return p == null ? new Extent(left.get(name).frames(), left.get(name).sound().sha256()) : new Extent(p.frames(), p.sums().sha256());
    }

    /** Loudness of each 100 ms of a print in LUFS: known of what was written, and read again of what was left. */
    double[] stretches(String name) throws IOException {
        if (written.containsKey(name)) return written.get(name).stretches();
        try (WavFile file = WavFile.open(left.get(name).wanted().path())) {
            Loudness loudness = new Loudness(file.rate(), file.channels());
            double[][] x = new double[file.channels()][BLOCK];
            for (long at = 0; at < file.frames(); at += BLOCK) {
                int n = (int) Math.min(BLOCK, file.frames() - at);
                file.read(at, x, n);
                loudness.add(x, n);
            }
            return loudness.stretches();
        }
    }

    /** Prints are written; what is there already with the same samples is left. */
    private final class Sinks implements SongRenderer.Prints {
        private final Song song;
        private final ToDisk disk;
        private final Map<String, Optional<WantedPrint.There>> looked = new HashMap<>();

        Sinks(Song song, ToDisk disk) {
            this.song = song;
            this.disk = disk;
        }

        private Optional<WantedPrint.There> look(String name) throws IOException {
            if (!looked.containsKey(name)) looked.put(name, wanted.get(name).there());
            return looked.get(name);
        }

        /** A mix is left only where nothing at all has changed: what is checked of it may have. Else it is printed again, with the samples that are there. */
        private boolean stays(SongPlan.SongPrint print, WantedPrint.There there) throws IOException {
            return print.whole() ? there.isDescribed() : there.canBeDescribed();
        }

        @Override
        public OptionalLong there(SongPlan.SongPrint print) throws IOException {
            Optional<WantedPrint.There> there = look(print.name());
            if (there.isEmpty() || !stays(print, there.get())) return OptionalLong.empty();
            left.put(print.name(), there.get());
            return OptionalLong.of(there.get().frames());
        }

        @Override
        public List<Renderer.Sink> open(SongPlan.SongPrint print, long frames) throws IOException {
            Optional<WantedPrint.There> there = look(print.name());
            boolean same = there.isPresent() && there.get().frames() == frames;
            if (same && stays(print, there.get())) {
                left.put(print.name(), there.get());
                return List.of();
            }
            left.remove(print.name());
            WantedPrint made = wanted.get(print.name());
            if (!same) refuseToReplace(made, song.label());
            boolean mix = song.prints().stream().anyMatch(w -> w.called().equals(print.name()) && w.content().equals(new Song.Content.Mix(true)));
            PrintFile file = new PrintFile(same ? made.overwriting() : made, mix);
            written.put(print.name(), file);
            disk.add(file);
            return file.sinks();
        }
    }

    /**
     * One print that clips is no longer what it is in the mix, so none is written.
     *
     * @param file of the song
     */
    void refuseClipped(Path file, Song song) {
        Clipped clipped = new Clipped(song);
        for (Song.Wanted w : song.prints()) if (written.containsKey(w.called()) && written.get(w.called()).clips()) clipped.add(w, written.get(w.called()));
        if (!clipped.isEmpty()) throw new Refusal(Exit.CHECK, file + ": nothing was printed, because prints would clip" + clipped.lines());
    }

    private static SampleFormat format(Song.Depth depth) {
        return switch (depth) {
            case INT_16 -> SampleFormat.INT_16;
            case INT_24 -> SampleFormat.INT_24;
            case FLOAT -> SampleFormat.FLOAT_32;
        };
    }

    /** The sections, as they can be read again by another song. */
    private static List<Label> labels(Timeline time, double rate) {
        List<Label> labels = new ArrayList<>();
        for (Timeline.Section s : time.sections()) labels.add(new Label(s.name(), Math.round(time.start(s.from()) * rate)));
        if (!labels.isEmpty()) labels.add(new Label(Timeline.END, Math.round(time.end() * rate)));
        return labels;
    }

    /** Integers are known by their dither too: of the same samples, cut otherwise, they are others. */
    private static String signature(String samples, SampleFormat cut, String content) {
        return cut.isFloat() ? samples : Signature.digest(samples + " cut to " + cut.bits() + " bits under the dither of " + content);
    }

    /** What a print is called. */
    static String description(String song, String print, int revision) {
        return song + ": " + print + (revision == 0 ? "" : ", revision " + revision);
    }

    private WantedPrint wanted(Song song, SongPlan plan, SongPlan.SongPrint print, String signature, String engine, Provenance provenance, SongTakes takes) {
        Song.Label label = song.label();
        Song.Wanted asked = song.prints().stream().filter(w -> w.called().equals(print.name())).findFirst().orElseThrow();
        SampleFormat cut = asked.depth().map(SongPrints::format).orElse(format);
        // What is printed, wherever it begins, whatever its file is called and however the text says it: a stretch has the bits of the whole.
        String content = asked.content().written();
        long clock = Math.round(label.clock() * plan.rate());
        Origin origin = Origin.of(engine, asked.described(), label.revision(), clock, signature(signature, cut, content),
                provenance.of(takes, plan.takes(print)));
        List<Path> inputs = new ArrayList<>(takes.paths());
        inputs.addAll(label.texts().keySet());
        // Alike in all prints, dither would add up in step where they are put together again.
        Print form = Print.of((int) plan.rate(), print.channels(), cut).from(print.from()).dither(Dither.triangular(content))
                .labelled(labels(song.time(), plan.rate())).sparing(inputs);
        form = form.described(new Bext(description(song.title(), asked.described(), label.revision()), Main.VERSION, origin.reference(), label.date(),
                label.time(), clock + print.from(), Bext.Loudness.UNTOLD, origin.history(form)));
        return new WantedPrint(folder.resolve(song.fileName(asked) + ".wav"), force ? form.overwriting() : form, origin);
    }

    /** What was not released is given up. */
    @Override
    public void close() throws SoundFileException {
        for (PrintFile p : written.values()) p.close();
    }
}
