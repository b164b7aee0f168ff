package linnet.render;

import linnet.dsp.Cell;
import linnet.plan.Work;

/**
 * A place between left and right, over time, at constant power: L = cos(pi t / 2), R = sin(pi t / 2), t from 0 (left) to 1 (right), so that
 * one channel in the centre is 3.01 dB down on each side, and has the same power everywhere. What has two sides of its own stays as it is in
 * the centre, and the side that is moved away from goes down by the same law. Worked out at the borders of cells, with straight lines
 * between.
 */
final class Pan {
    private static final double CENTRE = StrictMath.cos(Math.PI / 4);

    private final boolean sides;
    private final Work.Course place;
    private final boolean moves;
    private final double[] at = new double[2], next = new double[2];

    Pan(Work.Pan pan) {
        sides = pan.sides();
        place = pan.place();
        moves = !place.isAlways(place.points().get(0).value());
        law(place.points().get(0).value(), at);
    }

    /** Whether the place is not the same throughout. */
    boolean moves() {
        return moves;
    }

    /** By how much a side is turned up where the place does not move. */
    double gain(int side) {
        return at[side];
    }

    /** The same from a sample of the song on, where it does. */
    void gains(long from, double[] left, double[] right, int n) {
        for (int i = 0; i < n; ) {
            long cell = Math.floorDiv(from + i, (long) Cell.LENGTH) * Cell.LENGTH;
            int within = (int) (from + i - cell), to = Math.min(n, i + Cell.LENGTH - within);
            law(place(cell), at);
            law(place(cell + Cell.LENGTH), next);
            for (; i < to; i++, within++) {
                double share = (double) within / Cell.LENGTH;
                left[i] = at[0] + (next[0] - at[0]) * share;
                right[i] = at[1] + (next[1] - at[1]) * share;
            }
        }
    }

    private void law(double percent, double[] gains) {
        double t = (percent / 100 + 1) * Math.PI / 4, left = StrictMath.cos(t), right = StrictMath.sin(t);
        // In the centre both are the same to the bit.
        if (percent == 0) right = left;
        gains[0] = sides ? Math.min(1, left / CENTRE) : left;
        gains[1] = sides ? Math.min(1, right / CENTRE) : right;
    }

    private double place(long sample) {
        Work.Point before = place.points().get(0);
        for (Work.Point p : place.points()) {
            if (p.at() > sample) {
                return p == before ? p.value() : before.value() + (p.value() - before.value()) * (sample - before.at()) / (p.at() - before.at());
            }
            before = p;
        }
        return before.value();
    }
}
