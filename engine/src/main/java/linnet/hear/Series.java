package linnet.hear;

import java.util.ArrayList;
import java.util.List;

/** A number for each frame of 10 ms, in pieces, so that nothing is copied where it grows; a piece in which nothing is heard takes no memory. */
final class Series {
    private static final int PIECE = 1024;
    private static final float[] NOTHING = new float[PIECE];

    private final List<float[]> pieces = new ArrayList<>();
    private float[] last = NOTHING;
    private int size;

    Series() {}

    Series(float[] values) {
        for (float v : values) add(v);
    }

    void add(float value) {
        int within = size % PIECE;
        if (within == 0) {
            last = NOTHING;
            pieces.add(last);
        }
        if (Float.floatToRawIntBits(value) != 0) {
            if (last == NOTHING) {
                last = new float[PIECE];
                pieces.set(pieces.size() - 1, last);
            }
            last[within] = value;
        }
        size++;
    }

    float at(int frame) {
        return pieces.get(frame / PIECE)[frame % PIECE];
    }

    int size() {
        return size;
    }

    float[] toArray() {
        float[] all = new float[size];
        for (int p = 0; p < pieces.size(); p++) System.arraycopy(pieces.get(p), 0, all, p * PIECE, Math.min(PIECE, size - p * PIECE));
        return all;
    }
}
