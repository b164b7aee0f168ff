package linnet.store;

import java.util.concurrent.atomic.AtomicReferenceArray;

/**
 * Windows of the sounds of a store that were read last: the prints of a song read the same of them one after the other, and side by side. As many are held
 * as have room; by several threads at once.
 */
final class Windows {
    /** Frames in a window. */
    static final int LENGTH = 2400;
    /** 20 MB of stereo. */
    private static final int HELD = 1024;

    private record Window(StoredSound of, long number, float[] samples) {}

    private final AtomicReferenceArray<Window> held = new AtomicReferenceArray<>(HELD);

    float[] get(StoredSound of, long number) {
        // Sounds are told apart by themselves and not by what they hold.
        int place = Math.floorMod(31 * System.identityHashCode(of) + (int) number, HELD);
        Window there = held.get(place);
        if (there != null && there.of == of && there.number == number) return there.samples;
        Window fetched = new Window(of, number, of.fetch(number));
        held.set(place, fetched);
        return fetched.samples;
    }
}
