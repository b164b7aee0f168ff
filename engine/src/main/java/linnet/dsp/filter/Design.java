package linnet.dsp.filter;

/** How a shape becomes a {@link Biquad}. */
public enum Design {
    /** The bilinear transform: every shape, squeezed together near half the rate. */
    COOKBOOK {
        @Override
        public Biquad biquad(Shape shape, double rate, double hz, double q, double gainDb) {
            return switch (shape) {
                case BELL -> Biquad.bell(rate, hz, q, gainDb);
                case LOW_SHELF -> Biquad.lowShelf(rate, hz, q, gainDb);
                case HIGH_SHELF -> Biquad.highShelf(rate, hz, q, gainDb);
                case LOW_PASS -> Biquad.lowPass(rate, hz, q);
                case HIGH_PASS -> Biquad.highPass(rate, hz, q);
                case BAND_PASS -> Biquad.bandPass(rate, hz, q);
                case NOTCH -> Biquad.notch(rate, hz, q);
                case ALL_PASS -> Biquad.allPass(rate, hz, q);
                case ONE_POLE_LOW_PASS -> Biquad.onePoleLowPass(rate, hz);
                case ONE_POLE_HIGH_PASS -> Biquad.onePoleHighPass(rate, hz);
            };
        }

        @Override
        public double qOfBandwidth(double rate, double hz, double octaves) {
            return Biquad.qOfBandwidth(rate, hz, octaves);
        }
    },
    /** {@link Matched}: close to the analogue curve up to half the rate; not for shelves, notch and all-pass. */
    MATCHED {
        @Override
        public Biquad biquad(Shape shape, double rate, double hz, double q, double gainDb) {
            return switch (shape) {
                case BELL -> Matched.bell(rate, hz, q, gainDb);
                case LOW_PASS -> Matched.lowPass(rate, hz, q);
                case HIGH_PASS -> Matched.highPass(rate, hz, q);
                case BAND_PASS -> Matched.bandPass(rate, hz, q);
                case ONE_POLE_LOW_PASS -> Matched.onePoleLowPass(rate, hz);
                case ONE_POLE_HIGH_PASS -> Matched.onePoleHighPass(rate, hz);
                case LOW_SHELF, HIGH_SHELF, NOTCH, ALL_PASS -> throw new IllegalArgumentException("no matched design for " + shape);
            };
        }

        @Override
        public double qOfBandwidth(double rate, double hz, double octaves) {
            return Matched.qOfBandwidth(octaves);
        }
    };

    /**
     * The section of that shape; arguments as in {@link Biquad}, q and gain where the shape has them.
     *
     * @throws IllegalArgumentException if this design does not know the shape
     */
    public abstract Biquad biquad(Shape shape, double rate, double hz, double q, double gainDb);

    /** The q of a bandwidth in octaves, as in {@link Biquad#qOfBandwidth}, for a section of this design. */
    public abstract double qOfBandwidth(double rate, double hz, double octaves);
}
