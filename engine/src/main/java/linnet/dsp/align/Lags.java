package linnet.dsp.align;

import java.util.OptionalLong;

/**
 * By how much a voice lies later than another as a whole, if both say the same: the lag at which what they say, and where they pause, is most
 * alike. It is the cross-correlation of their {@link Cepstra} without the level, what is silent being zero, every 40 ms; a lag is told within half of that. Of
 * two voices with nothing in common some lag is the likeliest too, so how clear it is should be asked, and what is said there looked at.
 */
public final class Lags {
    private static final int GRID = 8;
    /** So far below what is loud, in dB, is a pause. */
    private static final double PAUSE_DB = 30;

    private final int hop, farthest;
    private final double[] alike;
    private final int likeliest;

    /**
     * Compares two voices of the same rate.
     *
     * @param reach samples by which one may lie later or earlier
     */
    public Lags(Cepstra own, Cepstra other, long reach) {
        hop = GRID * own.hop();
        farthest = (int) (reach / hop);
        alike = new double[2 * farthest + 1];
        float[][] a = said(own), b = said(other);
        for (int i = 0; i < a.length; i++) {
            if (a[i] == null) continue;
            for (int j = Math.max(0, i - farthest), last = Math.min(b.length - 1, i + farthest); j <= last; j++) {
                if (b[j] == null) continue;
                double sum = 0;
                for (int k = 0; k < a[i].length; k++) sum += a[i][k] * b[j][k];
                alike[farthest + i - j] += sum;
            }
        }
        int best = farthest;
        for (int l = 0; l < alike.length; l++) if (alike[l] > alike[best]) best = l;
        likeliest = best;
    }

    /** What is said in each step of the grid, less what is said on the whole; null in a pause. */
    private static float[][] said(Cepstra voice) {
        float[][] said = new float[voice.frames() / GRID][];
        double pause = voice.loud() - PAUSE_DB;
        double[] mean = new double[Cepstra.SPOKEN];
        int count = 0;
        for (int g = 0; g < said.length; g++) {
            if (voice.db(g * GRID + GRID / 2) < pause) continue;
            said[g] = new float[Cepstra.SPOKEN];
            for (int f = g * GRID; f < (g + 1) * GRID; f++) voice.add(f, said[g]);
            for (int k = 0; k < mean.length; k++) mean[k] += said[g][k];
            count++;
        }
        for (float[] s : said) if (s != null) for (int k = 0; k < mean.length; k++) s[k] -= (float) (mean[k] / count);
        return said;
    }

    /** Samples by which the first voice most likely lies later than the other; empty where nothing is alike at any lag. */
    public OptionalLong likeliest() {
        return alike[likeliest] > 0 ? OptionalLong.of((long) (likeliest - farthest) * hop) : OptionalLong.empty();
    }

    /** How many times as alike they are there as at any lag that is more than so many samples away. */
    public double clearness(long away) {
        double next = 0;
        for (int l = 0; l < alike.length; l++) if ((long) Math.abs(l - likeliest) * hop > away) next = Math.max(next, alike[l]);
        return alike[likeliest] > 0 ? alike[likeliest] / next : 0;
    }
}
