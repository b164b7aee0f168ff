package linnet.weigh;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import linnet.hear.Marks;
import linnet.plan.SongPlan;
import linnet.song.Song;
import linnet.text.ProblemsException;

/**
 * Thrown words on the vowels that are sung, ended where the next phrase begins.
 *
 * @param song the song with its throws where they belong
 * @param told what was moved, and what to think about
 */
public record Aiming(Song song, List<String> told) {
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

    /** The marks of a part that was made of others, in the time of the song; empty where it is not rendered yet. */
    public interface Rendered {
        Optional<Marks> marks(String part);
    }

    /**
     * Which throws meet no vowel, of parts that could not be heard before they were rendered: those begin where the text says.
     *
     * @param before what was heard by then
     */
    public static List<String> unmet(Song song, double rate, PartMarks before, Rendered after) throws ProblemsException, IOException {
        Aimer aimer = new Aimer(song, rate, before);
        for (Song.Throw t : song.thrown()) {
            if (t.aim().exact() || t.aim().vowel() > 0 || before.of(t.part().text()).isPresent()) continue;
            after.marks(t.part().text()).ifPresent(m -> aimer.own(t, m));
        }
        return aimer.told();
    }

    /**
     * Hears where the throws of a song belong.
     *
     * @throws ProblemsException where a vowel is wanted that is not there
     */
    public static Aiming of(Song song, double rate, PartMarks marks) throws ProblemsException, IOException {
        Aimer aimer = new Aimer(song, rate, marks);
        List<Song.Throw> thrown = new ArrayList<>();
        for (Song.Throw t : song.thrown()) thrown.add(t.aim().isExact() ? t : aimer.aimed(t));
        aimer.check();
        thrown.forEach(aimer::fits);
        for (int i = 0; i < thrown.size(); i++) for (int k = 0; k < i; k++) aimer.sameLine(thrown.get(k), thrown.get(i));
        return new Aiming(song.throwing(thrown), aimer.told());
    }
}
