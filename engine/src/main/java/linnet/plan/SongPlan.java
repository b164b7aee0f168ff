package linnet.plan;

import java.util.List;

/**
 * Everything that will happen to the takes of a song.
 *
 * @param rate samples per second of everything in it
 * @param least samples that every print has in any case: the form of the song
 * @param works in an order in which each comes after what it hears
 * @param buses what prints go through
 * @param prints what is written, each a sum of works through a bus
 * @param notes what the user should know about the prints
 */
public record SongPlan(double rate, long least, List<Work> works, List<Bus> buses, List<SongPrint> prints, List<String> notes) {
    public SongPlan {
        works = List.copyOf(works);
        buses = List.copyOf(buses);
        prints = List.copyOf(prints);
        notes = List.copyOf(notes);
    }

    /**
     * What comes last: the chain of the mix over all that is mixed. It is not kept from one run to the next, as every change touches it.
     *
     * @param input all that is heard at once, in stereo
     */
    public record Bus(List<Work.Tap> input, Plan chain) {}

    /**
     * A file that is wanted.
     *
     * @param sum what is in it; all prints of a song begin and end together
     * @param bus its place in {@link SongPlan#buses()}
     * @param whole true for what the bus makes of its whole input; else it is the share that the sum has in that: its levels move as those of the
     *     whole do, so that prints whose sums add up to the input add up to what the bus makes of it
     */
    public record SongPrint(String name, List<Work.Tap> sum, int channels, int bus, boolean whole) {}
}
