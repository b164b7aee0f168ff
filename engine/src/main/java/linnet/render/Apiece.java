package linnet.render;

import java.util.function.Supplier;
import linnet.dsp.Sound;

/** A sound for several threads, of which each reads one of its own. */
final class Apiece implements Sound {
    private final Sound first;
    private final ThreadLocal<Sound> own;

    /** @param each gives the same sound once more */
    Apiece(Supplier<? extends Sound> each) {
        first = each.get();
        own = ThreadLocal.withInitial(each);
        own.set(first);
    }

    @Override
    public double rate() {
        return first.rate();
    }

    @Override
    public int channels() {
        return first.channels();
    }

    @Override
    public long frames() {
        return first.frames();
    }

    @Override
    public void read(long from, double[][] into, int n) {
        own.get().read(from, into, n);
    }
}
