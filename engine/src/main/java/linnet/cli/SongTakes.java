package linnet.cli;

import java.io.IOException;
import java.io.InputStream;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import linnet.audio.WavFile;
import linnet.dsp.Sound;
import linnet.dsp.resample.Resampled;
import linnet.plan.SongPlanner;
import linnet.render.Signature;
import linnet.render.SongRenderer;
import linnet.setting.Unit;
import linnet.song.Song;
import linnet.text.ProblemsException;

/** The takes of a song, open, all at one rate, with what lies beside them. */
final class SongTakes implements AutoCloseable {
    private final List<WavFile> files = new ArrayList<>();
    private final List<SongRenderer.Take> heard = new ArrayList<>();
    private double rate;

    private SongTakes() {}

    /** Opens the takes in the order the plan counts them. What is converted is said. */
    static SongTakes open(Song song, PrintWriter err) throws ProblemsException, IOException {
        SongTakes takes = new SongTakes();
        try {
            for (Song.Part p : SongPlanner.takes(song)) takes.files.add(WavFile.open(p.take()));
            takes.rate = rate(song, takes.files, err);
            for (WavFile f : takes.files) takes.heard.add(takes.hear(f, err));
            return takes;
        } catch (ProblemsException | IOException | RuntimeException e) {
            takes.close();
            throw e;
        }
    }

    private SongRenderer.Take hear(WavFile file, PrintWriter err) throws ProblemsException, IOException {
        Sound sound = file.rate() == rate ? file : new Resampled(file, (int) rate);
        Beside.Known known = new Beside().of(file.path(), file, err);
        known.say(err);
        try (InputStream bytes = Files.newInputStream(file.path())) {
            return new SongRenderer.Take(sound, known.told(sound), Signature.digest(bytes));
        }
    }

    double rate() {
        return rate;
    }

    List<SongRenderer.Take> heard() {
        return heard;
    }

    List<Integer> channels() {
        return files.stream().map(WavFile::channels).toList();
    }

    List<Path> paths() {
        return files.stream().map(WavFile::path).toList();
    }

    /** The song's own, else that of its takes. */
    private static double rate(Song song, List<WavFile> files, PrintWriter err) throws ProblemsException {
        double rate = song.rate().orElse(files.get(0).rate());
        for (int i = 0; i < files.size(); i++) {
            double own = files.get(i).rate();
            if (own == rate) continue;
            String take = files.get(i).path().getFileName().toString();
            if (song.rate().isEmpty()) {
                throw new Refusal(Exit.SOUND, take + " has " + Unit.HZ.format(own) + " and " + files.get(0).path().getFileName() + " " + Unit.HZ.format(rate)
                        + "; say 'rate: " + Unit.HZ.format(rate) + "' in the song to have takes converted");
            }
            err.println(take + ": converted from " + Unit.HZ.format(own) + " to " + Unit.HZ.format(rate));
        }
        return rate;
    }

    @Override
    public void close() {
        files.forEach(WavFile::close);
    }
}
