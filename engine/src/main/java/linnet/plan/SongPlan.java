package linnet.plan;

import java.util.List;
import java.util.SortedSet;
import java.util.TreeSet;
import linnet.step.Prepared;

/**
 * Everything that will happen to the takes of a song.
 *
 * @param rate samples per second of everything in it
 * @param least samples that every print has in any case: the form of the song
 * @param works in an order in which each comes after what it hears
 * @param buses what prints go through
 * @param prints what is written, each a sum of works through a bus
 * @param stems names of what goes into the mix, each once: their prints add up to it
 * @param notes what the user should know about the prints
 */
public record SongPlan(double rate, long least, List<Work> works, List<Bus> buses, List<SongPrint> prints, List<String> stems, List<String> notes) {
    public SongPlan {
        works = List.copyOf(works);
        buses = List.copyOf(buses);
        prints = List.copyOf(prints);
        stems = List.copyOf(stems);
        notes = List.copyOf(notes);
    }

    /**
     * What comes last: the chain of the mix over all that is mixed. It is not kept from one run to the next, as every change touches it.
     *
     * @param input all that is heard at once, in stereo
     * @param heard what the chain goes by where it finds a value by hearing: the mix as it is, also for a mix in which something is turned up, which comes
     *     after it
     */
    public record Bus(List<Work.Tap> input, Plan chain, List<Work.Tap> heard) {
        /** Whether what it makes of one thing depends on everything in it. */
        public boolean hears() {
            return chain.steps().stream().map(n -> n.work().orElseThrow()).anyMatch(w -> w.hears() || w.prepared().sharing() != Prepared.Sharing.LINEAR);
        }
    }

    /** The takes that are heard in a print, or that move its level, by their places in the song. */
    public SortedSet<Integer> takes(SongPrint print) {
        SortedSet<Integer> takes = new TreeSet<>();
        takes(print.sum(), takes);
        Bus bus = buses.get(print.bus());
        if (print.whole() || bus.hears()) takes(bus.input(), takes);
        if (bus.hears()) takes(bus.heard(), takes);
        return takes;
    }

    /**
     * The works that must be done for the prints: those that are heard in them or move their levels; all of them where a print runs on to the end, for it lasts
     * as long as the longest.
     */
    public SortedSet<Integer> wanted() {
        SortedSet<Integer> wanted = new TreeSet<>();
        if (prints.stream().anyMatch(p -> p.to() == Long.MAX_VALUE)) works.forEach(w -> wanted.add(w.id()));
        prints.forEach(p -> p.sum().forEach(t -> wanted(t.source(), wanted)));
        buses.forEach(b -> b.input().forEach(t -> wanted(t.source(), wanted)));
        return wanted;
    }

    private void wanted(Work.Source source, SortedSet<Integer> to) {
        for (int w : source.hears()) {
            if (!to.add(w)) continue;
            works.get(w).input().forEach(t -> wanted(t.source(), to));
            works.get(w).shares().forEach(share -> share.forEach(t -> wanted(t.source(), to)));
        }
    }

    private void takes(List<Work.Tap> taps, SortedSet<Integer> to) {
        for (Work.Tap t : taps) takes(t.source(), to);
    }

    private void takes(Work.Source source, SortedSet<Integer> to) {
        to.addAll(source.takes());
        for (int work : source.hears()) takes(works.get(work), to);
    }

    private void takes(Work work, SortedSet<Integer> to) {
        takes(work.input(), to);
        work.tidying().ifPresent(t -> takes(t.lead(), to));
    }

    /**
     * A file that is wanted.
     *
     * @param sum what is in it; all prints of a song begin and end together
     * @param bus its place in {@link SongPlan#buses()}
     * @param whole true for what the bus makes of its whole input; else it is the share that the sum has in that: its levels move as those of the
     *     whole do, so that prints whose sums add up to the input add up to what the bus makes of it
     * @param from its first sample
     * @param to the sample after its last; {@link Long#MAX_VALUE} for the end of the song
     */
    public record SongPrint(String name, List<Work.Tap> sum, int channels, int bus, boolean whole, long from, long to) {}
}
