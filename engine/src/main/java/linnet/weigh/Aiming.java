package linnet.weigh;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.plan.SongPlan;
import linnet.plan.SongPlanner;
import linnet.setting.Unit;
import linnet.song.Address;
import linnet.song.Song;
import linnet.text.Problems;
import linnet.text.ProblemsException;

/** Puts thrown words on the vowels that are sung, and ends them where the next phrase begins; what that changes is told. */
public final class Aiming {
    /** Hears parts of a song. */
    public interface Ears {
        /**
         * The marks of a part, in the time of the song; empty where it can be heard only once others are rendered.
         *
         * @param question what stands for this among all that is asked of the song
         */
        Optional<Marks> marks(String question, Planned plan, String part) throws ProblemsException, IOException;
    }

    /** A song that is planned where something must be heard in it. */
    public interface Planned {
        SongPlan plan() throws ProblemsException;
    }

    /** A vowel this near is the one that is meant. */
    private static final double NEAR_SECONDS = 0.15;
    /** Less is not worth telling. */
    private static final double SAME_SECONDS = 0.005;

    private final Planned plan;
    private final double rate;
    private final Ears ears;
    private final Problems problems = new Problems();
    private final List<String> told = new ArrayList<>();
    private final Map<String, Optional<Marks>> heard = new HashMap<>();
    private final Song song;

    /**
     * Aims at once.
     *
     * @param channelsOfTakes as for {@link SongPlanner#plan}
     * @throws ProblemsException where a vowel is wanted that is not there
     */
    public Aiming(Song song, double rate, List<Integer> channelsOfTakes, Ears ears) throws ProblemsException, IOException {
        this.rate = rate;
        this.ears = ears;
        plan = () -> SongPlanner.plan(song.still(), rate, channelsOfTakes);
        List<Song.Throw> thrown = new ArrayList<>();
        for (Song.Throw t : song.thrown()) thrown.add(t.aim().isExact() ? t : aimed(song, t));
        problems.check();
        this.song = song.throwing(thrown);
        for (int i = 0; i < thrown.size(); i++) for (int k = 0; k < i; k++) sameLine(thrown.get(k), thrown.get(i));
    }

    /** The song with its throws where they belong. */
    public Song song() {
        return song;
    }

    /** What was moved, and what to think about. */
    public List<String> told() {
        return told;
    }

    /** What is heard in a part; empty where nothing is known of it. */
    public Optional<Marks> marks(String part) throws ProblemsException, IOException {
        if (!heard.containsKey(part)) heard.put(part, ears.marks("aimed at " + part, plan, part));
        return heard.get(part);
    }

    private Song.Throw aimed(Song song, Song.Throw t) throws ProblemsException, IOException {
        String part = t.part().text();
        Optional<Marks> marks = marks(part);
        Song.Aim aim = t.aim();
        if (marks.isEmpty()) {
            if (aim.vowel() > 0 || aim.nextPhrase()) problems.report(aim.at().at(), "'" + part + "' is made of another part, and has no marks before that is rendered: say a place, as in 'chorus bar 8 beat 1'");
            return t;
        }
        double[] vowels = seconds(marks.get(), Mark.Kind.VOWEL);
        double from = t.from();
        if (aim.vowel() > vowels.length) {
            problems.report(aim.at().at(), "'" + part + "' has " + (vowels.length == 0 ? "no vowel" : (vowels.length == 1 ? "1 vowel, at " : vowels.length + " vowels, the last at ") + Address.of(song.time(), vowels[vowels.length - 1])));
            return t;
        }
        if (aim.vowel() > 0) {
            from = vowels[aim.vowel() - 1];
            told.add("throw of " + part + ", vowel " + aim.vowel() + ": " + Address.of(song.time(), from));
        } else if (!aim.exact()) {
            OptionalDouble nearest = Arrays.stream(vowels).boxed().min(Comparator.comparingDouble(v -> Math.abs(v - t.from()))).map(OptionalDouble::of).orElse(OptionalDouble.empty());
            String thrown = "throw of " + part + " at " + aim.at().text() + ": ";
            if (nearest.isEmpty() || Math.abs(nearest.getAsDouble() - t.from()) > NEAR_SECONDS) {
                told.add(thrown + "no vowel begins within " + Unit.MS.format(1000 * NEAR_SECONDS) + " of it, so it begins right there" + (nearest.isEmpty() ? "" : "; the nearest begins at " + Address.of(song.time(), nearest.getAsDouble())) + " ('exact: yes' says that it is meant so)");
            } else {
                from = nearest.getAsDouble();
                if (Math.abs(from - t.from()) > SAME_SECONDS) told.add(thrown + Unit.MS.format(Math.round(1000 * Math.abs(from - t.from()))) + (from < t.from() ? " earlier" : " later") + ", where its vowel begins");
            }
        }
        Song.Throw placed = t.from(from);
        if (!aim.nextPhrase()) return placed;
        double end = from + placed.length(), next = Double.POSITIVE_INFINITY;
        for (double p : seconds(marks.get(), Mark.Kind.PHRASE)) if (p >= end) next = Math.min(next, p);
        return placed.stopping(next);
    }

    private double[] seconds(Marks marks, Mark.Kind kind) {
        return marks.of(kind).stream().mapToDouble(m -> m.from() / rate).toArray();
    }

    /** Two in one line fall over each other. */
    private void sameLine(Song.Throw one, Song.Throw other) throws ProblemsException, IOException {
        if (!one.part().text().equals(other.part().text())) return;
        Optional<Marks> marks = marks(one.part().text());
        if (marks.isEmpty()) return;
        for (Mark p : marks.get().of(Mark.Kind.PHRASE)) {
            boolean both = p.meets(Math.round(one.from() * rate), Math.round(one.from() * rate) + 1) && p.meets(Math.round(other.from() * rate), Math.round(other.from() * rate) + 1);
            if (both) told.add("throws of " + one.part().text() + " at " + one.aim().at().text() + " and " + other.aim().at().text() + " are in one line: the words may fall over each other");
        }
    }
}
