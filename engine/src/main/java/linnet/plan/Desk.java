package linnet.plan;

import java.util.List;
import linnet.chain.Chain;
import linnet.song.Song;
import linnet.text.ProblemsException;

/** What prints are put together from: the works of a song, and what lies between them. */
interface Desk {
    Song song();

    /** A work at its own level and place. */
    Work.Tap tap(String name);

    /** Another sound at the level and place of a work. */
    default Work.Tap tap(Work.Source source, String at) {
        Work.Tap own = tap(at);
        return new Work.Tap(source, own.level(), own.pan());
    }

    /** The work of that name. */
    Work work(String name);

    /**
     * What flows into a return.
     *
     * @param from part or group
     */
    record Fed(String from, boolean thrown, Work.Tap tap) {
        /** With another sound of the same place. */
        Fed of(Work.Source source) {
            return new Fed(from, thrown, new Work.Tap(source, tap.level(), tap.pan()));
        }
    }

    /** What flows into a return, by the name of its work, in the order in which that adds it up. */
    List<Fed> fed(String work);

    /** The works of all returns. */
    List<String> returnWorks();

    /** The works of a part, group or return, which add up to it: a return has one of its own for a word that is stopped. */
    List<String> works(String name);

    /** One more work. */
    Work add(String name, List<Work.Tap> input, int channels, Plan chain, List<List<Work.Tap>> shares);

    /** The chain of a part as far as it only mends what was sung, planned. */
    Plan mended(String part) throws ProblemsException;

    /** A chain of no steps for a part. */
    Plan untouched(String part) throws ProblemsException;

    /** A chain for the sum of all. */
    Plan plan(Chain chain) throws ProblemsException;
}
