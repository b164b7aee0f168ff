package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.stream.Stream;
import linnet.Rig;
import linnet.chain.Chain;
import linnet.demo.Performance;
import linnet.demo.SevenLanterns;
import linnet.demo.Singer;
import linnet.dsp.Samples;
import org.junit.jupiter.api.Test;

/**
 * A whole chain, with several hearing stages, branches and tails, has the same bits however it is cut and shared out. The
 * laws say so of each step alone; here it is what lies between them.
 */
class SameBitsTest {
    private static final String CHAIN = """
            - gate: { threshold: 12 dB over noise }
            - eq: [ { high-pass: 0.8 x lowest note }, { bell: 900 Hz, gain: { 0 s: 0 dB, 3 s: 4 dB } } ]
            - compressor: { character: fast, aim: 3 dB }
            - multiband: { splits: [ 200 Hz, 3 kHz ], bands: [ { ratio: 3:1, threshold: 8 dB under voice }, {}, {} ] }
            - parallel:
                - { level: 0 dB }
                - { level: -10 dB, steps: [ compressor: { ratio: 10:1, aim: 8 dB }, saturate: { drive: 8 dB, mix: 40 % } ] }
            - de-ess
            - delay: { time: 210 ms, feedback: 30 %, pattern: ping-pong, duck: 4 dB, mix: 15 % }
            - compressor: { character: optical, aim: 2 dB, makeup: match }
            - reverb: { decay: 0.8 s, mix: 20 % }
            - limit: { ceiling: -3 dBTP }
            """;

    private static Samples take() {
        double[] all = Performance.sing(SevenLanterns.lead(), Singer.high(), 48_000).samples();
        return new Samples(48_000, java.util.Arrays.copyOfRange(all, 0, 6 * 48_000));
    }

    @Test
    void aChainHasTheSameBitsForAnyBlockAndAnyThreads() {
        Samples take = take();
        Chain chain = Rig.usual().chain(CHAIN);
        Rig.Result usual = Rig.usual().render(chain, take);
        Stream.of(
                        Rig.usual(), Rig.usual().block(1), Rig.usual().block(64), Rig.usual().block(4096), Rig.usual().block(10 * 48_000),
                        Rig.usual().block(9600).threads(2), Rig.usual().block(997).threads(2), Rig.usual().block(480).threads(3))
                .forEach(rig -> {
                    Rig.Result other = rig.render(chain, take);
                    String what = "block " + rig.block() + ", threads " + rig.threads();
                    assertEquals(usual.rendered().resolved(), other.rendered().resolved(), what);
                    for (int c = 0; c < 2; c++) assertArrayEquals(usual.x()[c], other.x()[c], what);
                });
    }
}
