package linnet.plan;

import java.util.List;

/**
 * Everything that will happen to the takes of a song.
 *
 * @param rate samples per second of everything in it
 * @param least samples that every print has in any case: the form of the song
 * @param works in an order in which each comes after what it hears
 * @param prints what is written, each a sum of works
 */
public record SongPlan(double rate, long least, List<Work> works, List<SongPrint> prints) {
    public SongPlan {
        works = List.copyOf(works);
        prints = List.copyOf(prints);
    }

    /**
     * A file that is wanted.
     *
     * @param sum what is in it; all prints of a song begin and end together
     */
    public record SongPrint(String name, List<Work.Tap> sum, int channels) {}
}
