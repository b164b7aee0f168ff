package linnet.demo;

/**
 * White noise and random choices from a seed, the same on every machine (SplitMix64: G. Steele, D. Lea, C. Flood, "Fast
 * splittable pseudorandom number generators", OOPSLA 2014). Each use takes its own stream, so that a change in one leaves
 * the others as they were.
 */
final class Noise {
    private static final long GOLDEN = 0x9E3779B97F4A7C15L;

    private long state;

    Noise(long seed, String stream) {
        state = mix(seed * GOLDEN + stream.hashCode());
    }

    /** Uniform in [-1, 1); its RMS is 1/sqrt(3). */
    double next() {
        state += GOLDEN;
        return mix(state) * 0x1p-63;
    }

    /** Uniform in [low, high). */
    double between(double low, double high) {
        return low + (high - low) * 0.5 * (next() + 1);
    }

    private static long mix(long z) {
        z = (z ^ (z >>> 30)) * 0xBF58476D1CE4E5B9L;
        z = (z ^ (z >>> 27)) * 0x94D049BB133111EBL;
        return z ^ (z >>> 31);
    }
}
