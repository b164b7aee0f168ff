package linnet.render;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import linnet.dsp.Sound;
import linnet.hear.Memory;

/** Keeps nothing for another run: what works make is spooled while this one lasts, with the same bits as from any shelf. */
final class Passing implements Shelf, AutoCloseable {
    private final Spool.Budget budget = new Spool.Budget(Runtime.getRuntime().maxMemory() / 6);
    private final List<Spool> spools = new ArrayList<>();

    @Override
    public Optional<Sound> find(String signature) {
        return Optional.empty();
    }

    @Override
    public synchronized Place place(String signature, double rate, int channels) {
        Spool spool = new Spool(rate, channels, 0, budget);
        spools.add(spool);
        return new Place() {
            private double[][] rounded = new double[channels][0];

            @Override
            public void write(double[][] x, int n) {
                if (rounded[0].length < n) rounded = new double[channels][n];
                for (int c = 0; c < channels; c++) for (int i = 0; i < n; i++) rounded[c][i] = (float) x[c][i];
                spool.append(rounded, n);
            }

            @Override
            public Sound finish() {
                spool.finish();
                return spool;
            }

            @Override
            public void close() throws IOException {}
        };
    }

    @Override
    public Recollection recollection(String signature) {
        return new Recollection() {
            @Override
            public Memory memory() {
                return Memory.NONE;
            }

            @Override
            public void close() {}
        };
    }

    @Override
    public synchronized void close() {
        spools.forEach(Spool::close);
    }
}
