package linnet.render;

import java.io.IOException;
import java.util.Optional;
import linnet.dsp.Sound;
import linnet.hear.Memory;

/** Where works are kept from one run to the next, by signature, rounded to 32-bit floats. Used by several threads at once. */
public interface Shelf {
    /** A sound that is whole and unharmed; empty where there is none. */
    Optional<Sound> find(String signature);

    /** Room for a new one; kept for good only when it is finished. */
    Place place(String signature, double rate, int channels) throws IOException;

    /** What is remembered of a sound of this signature; what is new in it is kept when it is closed. */
    Recollection recollection(String signature);

    /** Facts of a sound, from one run to the next. */
    interface Recollection extends AutoCloseable {
        Memory memory();

        @Override
        void close() throws IOException;
    }

    /** A sound on its way into the shelf. */
    interface Place extends AutoCloseable {
        void write(double[][] x, int n) throws IOException;

        /** Keeps it; what {@link Shelf#find} would give from now on. */
        Sound finish() throws IOException;

        /** Gives up what is not finished. */
        @Override
        void close() throws IOException;
    }
}
