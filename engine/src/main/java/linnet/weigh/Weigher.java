package linnet.weigh;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import linnet.hear.Marks;
import linnet.plan.SongPlanner;
import linnet.setting.Unit;
import linnet.song.Song;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.Word;

/** Has songs heard while one is weighed, and gathers what is found and what cannot be. */
final class Weigher {
    private final double rate;
    private final List<Integer> channelsOfTakes;
    private final Weighing.Scales scales;
    private final Problems problems = new Problems();
    private final List<Weighing.Found> found = new ArrayList<>();

    Weigher(double rate, List<Integer> channelsOfTakes, Weighing.Scales scales) {
        this.rate = rate;
        this.channelsOfTakes = channelsOfTakes;
        this.scales = scales;
    }

    double rate() {
        return rate;
    }

    Problems problems() {
        return problems;
    }

    /** Ends where something cannot be as it is wanted. */
    void check() throws ProblemsException {
        problems.check();
    }

    List<Weighing.Found> found() {
        return found;
    }

    /** @param db told as it is */
    void found(Weighing.Kind kind, String what, double db, String why) {
        found(kind, what, db, Unit.DB.format(db, 1), why);
    }

    void found(Weighing.Kind kind, String what, double number, String value, String why) {
        found.add(new Weighing.Found(kind, what, number, value, why));
    }

    Map<String, Scale> weigh(String question, Song what) throws ProblemsException, IOException {
        return scales.weigh(question, () -> SongPlanner.plan(what, rate, channelsOfTakes));
    }

    Optional<Marks> marks(String question, Song song, String part) throws ProblemsException, IOException {
        return scales.marks(question, () -> SongPlanner.plan(song.still(), rate, channelsOfTakes), part);
    }

    /** A part, group or return as a print of its own. */
    static Song.Wanted strip(Song song, String name, String called) {
        Word word = song.parts().get(0).name();
        return new Song.Wanted(word, new Song.Content.Strip(name, true), called, Optional.empty(), Optional.empty());
    }

    /** Reports a level that could not be written. */
    void checkLevel(Word at, double level, String what) {
        if (level < Song.Fader.SOFTEST || level > Song.Fader.LOUDEST) {
            problems.report(at.at(), "'" + what + "' would need a level of " + Unit.DB.format(level, 1) + ": outside " + Unit.DB.format(Song.Fader.SOFTEST)
                    + " … " + Unit.DB.format(Song.Fader.LOUDEST));
        }
    }
}
