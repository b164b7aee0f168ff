package linnet.dsp.filter;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.util.stream.Stream;
import linnet.dsp.Cell;
import linnet.dsp.Cuts;
import linnet.dsp.spectral.Fft;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class LinkwitzRileyTest {
    static Stream<double[]> splits() {
        return Stream.of(new double[] {180}, new double[] {500, 1500}, new double[] {200, 2000, 6000}, new double[] {120, 300, 700, 9000});
    }

    private static double[] sum(double[] x, int cut, LinkwitzRiley xover) {
        double[][] bands = new double[xover.bands()][Cell.LENGTH];
        return Cuts.run(x, cut, (block, n) -> {
            xover.split(block, bands, n);
            for (int i = 0; i < n; i++) {
                block[i] = 0;
                for (double[] band : bands) block[i] += band[i];
            }
        }, xover::settle);
    }

    /** Oracle: LP² + HP² of a Butterworth pair is the all-pass of the same frequency, so the sum is the chain of them. */
    @ParameterizedTest
    @MethodSource("splits")
    void bandsSumToTheChainOfAllPasses(double[] splits) {
        for (double rate : new double[] {44100, 48000, 96000}) {
            double[] impulse = new double[1 << 17];
            impulse[0] = 1;
            double[] sum = sum(impulse, 480, new LinkwitzRiley(rate, splits));
            Cascade chain = new Cascade(Stream.of(splits).flatMapToDouble(java.util.Arrays::stream)
                    .mapToObj(hz -> Biquad.allPass(rate, hz, Math.sqrt(0.5))).toList());
            assertArrayEquals(Vectors.run(impulse, 480, chain), sum, 1e-10);
            assertArrayEquals(Vectors.run(impulse, 480, new Cascade(LinkwitzRiley.sum(rate, splits))), sum, 1e-10);
            Fft fft = new Fft(impulse.length);
            double[] re = new double[fft.bins()], im = new double[fft.bins()];
            fft.forward(sum, re, im);
            double worst = 0;
            for (int k = 0; k < fft.bins(); k++) worst = Math.max(worst, Math.abs(10 * Math.log10(re[k] * re[k] + im[k] * im[k])));
            System.out.printf("%d bands at %.0f Hz: sum flat within %.2g dB%n", splits.length + 1, rate, worst);
            assertEquals(0, worst, 1e-9);
        }
    }

    /** Source: the formulae above at 2 kHz and 48 kHz, evaluated apart from this program. */
    @Test
    void bandsHaveTheirPublishedLevels() {
        LinkwitzRiley x = new LinkwitzRiley(48000, 2000);
        assertEquals(-6.0206, x.response(0, 2000).db(), 1e-4);
        assertEquals(-6.0206, x.response(1, 2000).db(), 1e-4);
        assertEquals(-0.5179, x.response(0, 1000).db(), 1e-4);
        assertEquals(-25.1819, x.response(0, 4000).db(), 1e-4);
        assertEquals(-24.7498, x.response(1, 1000).db(), 1e-4);
        assertEquals(-0.4920, x.response(1, 4000).db(), 1e-4);
    }

    /** Oracle: the spectrum of each rendered band. */
    @Test
    void eachBandAnswersItsOwnResponse() {
        double[] splits = {200, 2000, 6000};
        int n = 1 << 16;
        Fft fft = new Fft(n);
        double[] re = new double[fft.bins()], im = new double[fft.bins()];
        for (int band = 0; band < 4; band++) {
            LinkwitzRiley x = new LinkwitzRiley(48000, splits);
            double[][] bands = new double[4][Cell.LENGTH];
            int which = band;
            double[] impulse = new double[n];
            impulse[0] = 1;
            fft.forward(Cuts.run(impulse, 480, (block, m) -> {
                x.split(block, bands, m);
                System.arraycopy(bands[which], 0, block, 0, m);
            }, x::settle), re, im);
            for (int k = 1; k < n / 2; k += 37) {
                Response r = x.response(band, k * 48000.0 / n);
                assertEquals(r.re(), re[k], 1e-9);
                assertEquals(r.im(), im[k], 1e-9);
            }
        }
    }

    @ParameterizedTest
    @MethodSource("splits")
    void anyCutGivesTheSameBits(double[] splits) {
        double[] x = Vectors.noise(3000, 5), whole = sum(x, 480, new LinkwitzRiley(48000, splits));
        for (int cut : new int[] {1, 7, 64}) assertArrayEquals(whole, sum(x, cut, new LinkwitzRiley(48000, splits)), 0.0);
    }

    @Test
    void tailEndsInTrueSilence() {
        double[] impulse = new double[480 * 300];
        impulse[0] = 1;
        double[] y = sum(impulse, 480, new LinkwitzRiley(48000, 500, 1500, 4000));
        for (int i = y.length - 480; i < y.length; i++) assertEquals(0, y[i]);
    }

    @Test
    void refusesWhatCannotBeSplit() {
        assertThrows(IllegalArgumentException.class, () -> new LinkwitzRiley(48000));
        assertThrows(IllegalArgumentException.class, () -> new LinkwitzRiley(48000, 300, 200));
        assertThrows(IllegalArgumentException.class, () -> new LinkwitzRiley(48000, 300, 300));
        assertThrows(IllegalArgumentException.class, () -> new LinkwitzRiley(48000, 1, 2, 3, 4, 5));
        assertThrows(IllegalArgumentException.class, () -> new LinkwitzRiley(44100, 22050));
    }
}
