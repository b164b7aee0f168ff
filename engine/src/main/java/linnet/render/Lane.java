package linnet.render;

import java.io.IOException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import java.util.concurrent.atomic.AtomicBoolean;
import linnet.dsp.Cell;
import linnet.dsp.Sound;
import linnet.render.Renderer.Sink;

/**
 * What one thread prints: some shares of some buses, side by side through time, cell by cell. What several of them are put together from is read once for
 * all, while it is still in the cache.
 */
final class Lane implements Callable<Void> {
    /** A sound and where it begins. */
    private record Reading(Sound sound, long at) {
        @Override
        public boolean equals(Object other) {
            return other instanceof Reading r && r.sound == sound && r.at == at;
        }

        @Override
        public int hashCode() {
            return System.identityHashCode(sound);
        }
    }

    /** A bus at work. */
    private record Run(SharedOut bus, Sink whole, List<Sink> shares) {}

    private final long frames;
    private final AtomicBoolean spare;
    private final Map<Reading, Ahead> readings = new HashMap<>();
    private final List<Run> runs = new ArrayList<>();
    private final List<HandedOver> handed = new ArrayList<>();
    private int load;
    /** What it does instead where nothing is shared out; null where something is. */
    private Whole whole;

    /** One chain that several threads work on. */
    private record Whole(Undivided chain, Sink sink, int threads) {}

    /**
     * @param frames of each print
     * @param spare whether one of the lanes that run at once has come to its end: then its thread helps the others
     */
    Lane(long frames, AtomicBoolean spare) {
        this.frames = frames;
        this.spare = spare;
    }

    /** The one reader of a sound that begins there. */
    Ahead reading(Sound sound, long at) {
        return readings.computeIfAbsent(new Reading(sound, at), r -> new Ahead(sound));
    }

    /**
     * One more bus.
     *
     * @param whole where what it makes of the whole goes; null if it is not wanted
     * @param shares where what it makes of each share goes
     */
    void add(SharedOut bus, Sink whole, List<Sink> shares) {
        runs.add(new Run(bus, whole, shares));
    }

    /**
     * All there is to do, where nothing is shared out.
     *
     * @param threads that may work on it, as no other lane has anything to do
     */
    void only(Undivided chain, Sink sink, int threads) {
        whole = new Whole(chain, sink, threads);
    }

    /** A sink that listens beside this when there is a thread to spare. */
    Sink handing(Sink to, int channels) {
        HandedOver over = new HandedOver(to, channels, spare::get);
        handed.add(over);
        return over;
    }

    /** How much it has to do beside others, in channels of prints. */
    int load() {
        return load;
    }

    void load(int more) {
        load += more;
    }

    @Override
    public Void call() throws IOException {
        try {
            if (whole == null) sharedOut();
            else whole.chain.run(frames, whole.sink, whole.threads);
            for (HandedOver over : handed) over.finish();
        } finally {
            handed.forEach(HandedOver::close);
            spare.set(true);
        }
        return null;
    }

    private void sharedOut() throws IOException {
        long longest = runs.stream().mapToInt(r -> r.bus.latency()).max().orElse(0);
        for (long at = 0; at < frames + longest; at += Cell.LENGTH) for (Run r : runs) r.bus.run(at, frames, r.whole, r.shares);
    }
}
