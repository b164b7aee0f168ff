package linnet.dsp.repair;

import java.util.List;
import linnet.dsp.GainCurve;
import linnet.dsp.Sound;

/**
 * A sound with its repairs: patches first, then gains. What neither touches has its own bits.
 *
 * @param patches in order of time, none meeting another
 */
public record Mended(Sound sound, List<Patch> patches, List<GainCurve> gains) implements Sound {
    public Mended {
        patches = List.copyOf(patches);
        gains = List.copyOf(gains);
    }

    @Override
    public double rate() {
        return sound.rate();
    }

    @Override
    public int channels() {
        return sound.channels();
    }

    @Override
    public long frames() {
        return sound.frames();
    }

    @Override
    public void read(long from, double[][] into, int n) {
        sound.read(from, into, n);
        Patch.over(patches.toArray(Patch[]::new), from, into, n);
        double[] scratch = new double[gains.isEmpty() ? 0 : n];
        for (GainCurve g : gains) g.process(from, into, channels(), n, scratch);
    }
}
