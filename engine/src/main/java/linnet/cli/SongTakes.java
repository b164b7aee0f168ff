package linnet.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.function.Consumer;
import java.util.stream.Stream;
import linnet.audio.SoundFileException;
import linnet.audio.WavFile;
import linnet.dsp.Sound;
import linnet.plan.SongPlanner;
import linnet.render.SideBySide;
import linnet.render.SongRenderer;
import linnet.setting.Unit;
import linnet.song.Song;
import linnet.song.Source;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.Word;

/** The takes of a song, open, all at one rate, with what lies beside them. */
final class SongTakes implements AutoCloseable {
    private final List<WavFile> files = new ArrayList<>();
    private final List<SongRenderer.Take> heard = new ArrayList<>();
    private final List<Map<Path, String>> lists = new ArrayList<>();
    private final List<String> converted = new ArrayList<>(), ofLists = new ArrayList<>();
    /** In seconds: rounding. */
    private static final double HAIR = 1e-3;

    private double rate;

    private SongTakes() {}

    /**
     * Opens the takes in the order the plan counts them.
     *
     * @param digests by which their samples are known again
     * @param jobs files that may be read at once
     * @param untold is given what should be known of the takes, a line each, where the song is refused for one of them: nobody else can tell it then
     * @throws Refusal with every take that cannot be used, at its place in the song
     */
    static SongTakes open(Song song, Engine.Digests digests, int jobs, Consumer<String> untold) throws ProblemsException, IOException {
        SongTakes takes = new SongTakes();
        try {
            takes.open(song);
            takes.rate = takes.rate(song);
            takes.reach(song);
            SideBySide.run(takes.files.stream().<Callable<Void>>map(f -> () -> {
                digests.of(f.path());
                return null;
            }).toList(), jobs);
            for (WavFile f : takes.files) takes.heard.add(takes.hear(f, digests));
            return takes;
        } catch (ProblemsException | IOException | RuntimeException e) {
            Stream.of(takes.converted, takes.remarks(), takes.ofLists).flatMap(List::stream).forEach(untold);
            takes.close();
            throw e;
        }
    }

    private void open(Song song) {
        Problems unusable = new Problems();
        Map<Path, String> refused = new HashMap<>();
        Set<Path> opened = new HashSet<>();
        for (Song.Part p : SongPlanner.parts(song)) {
            for (Source.Take t : p.source().takes()) {
                if (opened.add(t.path())) {
                    try {
                        files.add(WavFile.open(t.path()));
                    } catch (SoundFileException e) {
                        refused.put(t.path(), Refusal.words(e));
                    }
                }
                if (refused.containsKey(t.path())) unusable.report(t.named().at(), "'" + p.name().text() + "': " + refused.get(t.path()));
            }
        }
        refuse(unusable);
    }

    private static void refuse(Problems unusable) {
        try {
            unusable.check();
        } catch (ProblemsException e) {
            throw new Refusal(Exit.FILE, e.getMessage());
        }
    }

    private SongRenderer.Take hear(WavFile file, Engine.Digests digests) throws ProblemsException, IOException {
        Sound sound = Conversion.of(file, rate, file.path().toString());
        TakeLists.Known known = TakeLists.Known.beside(file.path(), file, ofLists::add);
        known.say(ofLists::add);
        lists.add(known.lists());
        return new SongRenderer.Take(sound, known.told(sound), digests.of(file.path()), file::checkUnchanged);
    }

    /** What is odd about the files themselves, as where something behind the sound is left out. */
    List<String> remarks() {
        return files.stream().flatMap(f -> f.header().remarks().stream().map(remark -> f.path().getFileName() + ": " + remark)).toList();
    }

    /** Those that had another rate: a line each. */
    List<String> converted() {
        return converted;
    }

    /** What should be known of the lists beside them: a line each. */
    List<String> ofLists() {
        return ofLists;
    }

    double rate() {
        return rate;
    }

    List<SongRenderer.Take> heard() {
        return heard;
    }

    /** The lists that lie beside a take, with the digests of their bytes as they were read. */
    Map<Path, String> lists(int take) {
        return lists.get(take);
    }

    List<Integer> channels() {
        return files.stream().map(WavFile::channels).toList();
    }

    List<Path> paths() {
        return files.stream().map(WavFile::path).toList();
    }

    /** The song's own, else that of its first take. */
    private double rate(Song song) {
        double rate = song.rate().orElse(files.get(0).rate());
        Problems mixed = new Problems();
        Set<Path> said = new HashSet<>();
        long converting = 0;
        for (Song.Part p : SongPlanner.parts(song)) {
            for (Source.Take t : p.source().takes()) {
                WavFile file = file(t);
                if (file.rate() == rate || !said.add(t.path())) continue;
                Optional<String> hindrance = Conversion.hindrance(file, rate, converting);
                if (hindrance.isEmpty()) converting += Conversion.burden(file, rate);
                String named = "'" + p.name().text() + "': " + t.path().getFileName();
                if (song.rate().isEmpty()) mixed.report(t.named().at(), named + " has " + Unit.HZ.format(file.rate()) + " and " + files.get(0).path()
                        .getFileName() + " "
                            + Unit.HZ.format(rate) + "; say 'rate: " + Unit.HZ.format(rate) + "' in the song to have takes converted");
                else if (hindrance.isPresent()) mixed.report(t.named().at(), named + ": " + hindrance.get());
                else converted.add(t.path().getFileName() + ": converted from " + Unit.HZ.format(file.rate()) + " to " + Unit.HZ.format(rate));
            }
        }
        refuse(mixed);
        return rate;
    }

    /** What is used of a take must be there. */
    private void reach(Song song) throws ProblemsException {
        Problems outside = new Problems();
        for (Song.Part p : SongPlanner.parts(song)) {
            if (p.source().unedited() instanceof Source.Clip c && c.ends().isPresent()) {
                outside(p, c.take(), c.ends().get(), c.to() == Double.POSITIVE_INFINITY ? c.from() : c.to(), outside);
            }
            if (p.source().unedited() instanceof Source.Comp comp) {
                for (Source.Range r : comp.ranges()) outside(p, r.take(), r.where(), r.from() - r.at(), outside);
            }
        }
        outside.check();
    }

    private void outside(Song.Part part, Source.Take take, Word at, double needed, Problems outside) {
        double seconds = seconds(take);
        if (needed <= seconds + HAIR && needed >= -HAIR) return;
        String wrong = needed < 0 ? String.format(Locale.ROOT, "begins %.3f s after this place", -needed)
                : String.format(Locale.ROOT, "lasts %.3f s, and %.3f s of it are wanted here", seconds, needed);
        outside.report(at.at(), "'" + part.name().text() + "': " + take.path().getFileName() + " " + wrong);
    }

    WavFile file(Source.Take take) {
        return files.stream().filter(f -> f.path().equals(take.path())).findFirst().orElseThrow();
    }

    /** The digest of a file of them. */
    String digest(WavFile file) {
        return heard.get(files.indexOf(file)).signature();
    }

    /** Length of a take. */
    double seconds(Source.Take take) {
        WavFile file = file(take);
        return file.frames() / file.rate();
    }

    @Override
    public void close() {
        files.forEach(WavFile::close);
    }
}
