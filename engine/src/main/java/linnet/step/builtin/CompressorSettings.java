package linnet.step.builtin;

import static linnet.setting.Unit.DB;
import static linnet.setting.Unit.DBFS;
import static linnet.setting.Unit.HZ;
import static linnet.setting.Unit.MS;
import static linnet.setting.Unit.RATIO;

import java.nio.ByteBuffer;
import java.util.List;
import java.util.Optional;
import java.util.function.LongPredicate;
import java.util.function.Supplier;
import linnet.dsp.Cell;
import linnet.dsp.dynamics.Aim;
import linnet.dsp.dynamics.Compression;
import linnet.dsp.dynamics.Compression.Level;
import linnet.dsp.dynamics.Compression.Release;
import linnet.dsp.dynamics.Detector;
import linnet.dsp.dynamics.Playback;
import linnet.hear.Ear;
import linnet.hear.Remembered;
import linnet.setting.Choice;
import linnet.setting.Fixed;
import linnet.setting.Live;
import linnet.setting.Reference;
import linnet.setting.Settings;
import linnet.setting.Value;
import linnet.setting.Values;
import linnet.step.Block;
import linnet.step.Complaint;
import linnet.step.FixedValues;
import linnet.step.LiveValues;

/** What the compressor and each band of the multiband are set by. The usual values are common practice for a voice. */
final class CompressorSettings {
    private static final String OFF = "off";
    private static final double USUAL_AIM_DB = 3;
    private static final Remembered<Aim.Found> FOUND = new Remembered<>(f -> 17,
            (f, to) -> to.putDouble(f.thresholdDb()).putDouble(f.medianDb()).put((byte) (f.reached() ? 1 : 0)),
            from -> new Aim.Found(from.getDouble(), from.getDouble(), from.get() == 1));

    private static final Remembered<Double> TAKEN = new Remembered<>(f -> 8, (f, to) -> to.putDouble(f), ByteBuffer::getDouble);
    /** A sibilant lasts 70 ms or more, and loses 3 to 6 dB where it shall be lowered: common practice. What is proposed is a judgement. */
    private static final double SIBILANT_SECONDS = 0.07, SIBILANT_DB = 6, MORE_DB = 3, BOUND_OVER_DB = 2;

    /** With the values that suit it: ratio, knee in dB, attack and release in ms. */
    enum Character {
        CLEAN(Release.PLAIN, 3, 6, 10, 120),
        FAST(Release.PLAIN, 6, 3, 0.5, 60),
        OPTICAL(Release.TWO_STAGE, 3, 12, 10, 800);

        private final Release kind;
        private final double ratio, knee, attack, release;

        Character(Release kind, double ratio, double knee, double attack, double release) {
            this.kind = kind;
            this.ratio = ratio;
            this.knee = knee;
            this.attack = attack;
            this.release = release;
        }
    }

    private final Choice<Character> character;
    private final Live threshold;
    private final Fixed aim;
    private final Live ratio, knee, attack, release;
    private final Fixed most;
    private final Choice<Level> detector;
    private final Fixed keyHighPass;

    CompressorSettings(Settings s) {
        character = s.choice("character", Character.CLEAN)
                .doc("How it moves: clean evenly, fast to catch peaks, optical slowly, giving back half at once and the rest in its own time.");
        threshold = s.live("threshold", DBFS).range(Aim.LOWEST_DB, 0).relative(Reference.VOICE, Reference.NOISE, Reference.PEAK).otherwise("found by aim")
                .doc("Level above which it turns down.");
        aim = s.fixed("aim", DB).range(0.1, 30).otherwise("3 dB, unless there is a threshold")
                .doc("Reduction wanted while someone sings (the median), in the mix and the instrumental of a song while anything sounds; the threshold that "
                        + "gives it is found by hearing the take.");
        ratio = s.live("ratio", RATIO).range(1, 100).neutral("1:1").otherwise("3:1; fast 6:1")
                .doc("So many dB more at its input give one dB more at its output; from about 20:1 it is a limiter.");
        knee = s.live("knee", DB).range(0, 40).otherwise("6 dB; fast 3 dB; optical 12 dB")
                .doc("Width of the bend around the threshold, from no reduction to the full ratio.");
        attack = s.live("attack", MS).range(0.02, 500).otherwise("10 ms; fast 0.5 ms")
                .doc("Time to 63 % of a reduction.");
        release = s.live("release", MS).range(5, 5000).otherwise("120 ms; fast 60 ms; optical 800 ms")
                .doc("Time to 63 % of the way back, no shorter than the attack; for optical that of the slow part, which grows with long and deep reduction.");
        most = s.fixed("most", DB).range(0.5, 60).otherwise("no bound")
                .doc("So much it takes off, and no more: what is louder stays louder by as much.");
        detector = s.choice("detector", Level.PEAK)
                .doc("What it takes for the level: the peaks, held for the period of a low voice, or the RMS over 10 ms. The RMS takes a time of its "
                        + "own, which comes on top: a release of 5 ms from 10 dB over the threshold takes 19 ms, from 20 dB 34 ms, one of 200 ms "
                        + "takes 212 and 224 ms; attacks take 2 to 7 ms more.");
        keyHighPass = s.fixed("key high-pass", HZ).range(20, 2000).words(OFF).usual("60 Hz")
                .doc("What lies below this, at 12 dB/oct, does not trigger it; it is turned down with the rest.");
        s.atMostOne(threshold, aim);
    }

    /** What is wrong with values that are each right. */
    List<Complaint> complaints(Values v) {
        // What is meant and not given is wrong by itself, and told.
        if (v.given(threshold) || v.isMeant(threshold) || !v.given(most) || v.isMeant(aim) && !v.given(aim)) return List.of();
        double bound = amount(v, most).orElse(Compression.NO_BOUND), wanted = amount(v, aim).orElse(USUAL_AIM_DB);
        if (wanted <= bound - Aim.NEAR_DB) return List.of();
        return List.of(Complaint.about(v, most, "at most " + DB.format(bound) + " are taken off, so an aim of " + DB.format(wanted)
                + " cannot be reached; give a smaller aim, or a threshold"));
    }

    private static Optional<Double> amount(Values v, Fixed setting) {
        return v.get(setting).filter(Value.Amount.class::isInstance).map(a -> ((Value.Amount) a).value());
    }

    /** True if the threshold must be found by hearing. */
    boolean hears(FixedValues fixed) {
        return !fixed.given(threshold);
    }

    /**
     * How the compressor is set when it begins.
     *
     * @param fromHz what it hears has nothing lower: the usual key high-pass is left out where that lies an octave over it
     */
    Compression law(FixedValues fixed, LiveValues v, double fromHz) {
        Character c = v.get(character);
        boolean whole = fixed.is(keyHighPass, OFF) || !fixed.given(keyHighPass) && fromHz >= 2 * fixed.get(keyHighPass);
        return new Compression(
                c.kind, v.get(detector), whole ? 0 : fixed.get(keyHighPass), v.has(threshold) ? v.first(threshold) : 0,
                v.has(ratio) ? v.first(ratio) : c.ratio, v.has(knee) ? v.first(knee) : c.knee,
                v.has(attack) ? v.first(attack) : c.attack, v.has(release) ? v.first(release) : c.release,
                        fixed.given(most) ? fixed.get(most) : Compression.NO_BOUND, 0);
    }

    /**
     * A law with the threshold that was found, and told to the user.
     *
     * @param law everything but the threshold
     * @param arriving what the compressor will hear, and silence behind it for as long as it looks ahead
     * @param ear tells when someone sings
     * @param what is found, in the user's words
     */
    Compression aimed(FixedValues fixed, LiveValues v, Compression law, Playback arriving, Ear ear, String what) {
        double wanted = fixed.given(aim) ? fixed.get(aim) : USUAL_AIM_DB;
        Supplier<LongPredicate> sung = () -> ear.sung().value().<LongPredicate>map(s -> s::at).orElse(frame -> frame < ear.sound().frames());
        Aim.Found found = v.memory().fact(what, FOUND, () -> Aim.threshold(arriving, sung, law, wanted, ear.tapes(), ear.beside()));
        String miss = found.reached() ? "" : " (takes off " + DB.format(found.medianDb(), 1) + "; " + DB.format(wanted, 1) + " cannot be reached)";
        v.found(what, DBFS.format(found.thresholdDb(), 1) + miss);
        return law.withThreshold(found.thresholdDb());
    }

    /** Whether {@link #tellSibilants} has anything to hear. */
    boolean mayTakeSibilants(Values entry) {
        return !entry.given(threshold) && !entry.given(most) && entry.settings().all().stream().anyMatch(entry::given);
    }

    /**
     * Tells where a threshold that was found by what is sung, which has little up there, takes much off what has most there.
     *
     * @param law with that threshold
     * @param what the aim, in the user's words
     */
    void tellSibilants(FixedValues fixed, LiveValues v, Compression law, Playback arriving, double fromHz, String what) {
        if (law.mostDb() != Compression.NO_BOUND) return;
        double wanted = fixed.given(aim) ? fixed.get(aim) : USUAL_AIM_DB, taken = v.memory().fact(what, TAKEN, () -> taken(law, arriving));
        if (taken < Math.max(SIBILANT_DB, wanted + MORE_DB)) return;
        v.odd(what, "is met over all that is heard, which has little above " + HZ.format(fromHz) + ", and takes " + DB.format(taken, 1)
                + " off that where there is most, as in an s: write 'most: " + DB.format(wanted + BOUND_OVER_DB) + "' beside it, or a threshold");
    }

    /**
     * What is taken off in the one of all cells that loses most but for those of the shortest sibilant. What a release still takes off behind a sound that is
     * over does not count: it would make a sibilant of a click.
     */
    private static double taken(Compression law, Playback arriving) {
        Detector detector = new Detector(arriving.rate(), law), own = new Detector(arriving.rate(), law.atOnce());
        double[] most = new double[(int) Math.ceil(SIBILANT_SECONDS * arriving.rate() / Cell.LENGTH)];
        arriving.play((x, n) -> {
            hear(detector, x, n);
            hear(own, x, n);
            double wanted = 0;
            for (int i = 0; i < n; i++) wanted = Math.max(wanted, own.reduction()[i]);
            double least = Math.min(wanted, detector.reduction()[n - 1]);
            for (int k = most.length - 1; k >= 0; k--) {
                if (most[k] >= least) continue;
                double less = most[k];
                most[k] = least;
                least = less;
            }
        });
        return most[0];
    }

    private static void hear(Detector detector, double[][] x, int n) {
        if (x.length == 1) detector.process(x[0], n);
        else detector.process(x[0], x[1], n);
        detector.settle();
    }

    boolean moves(LiveValues v) {
        return v.anyMoves(threshold, ratio, knee, attack, release);
    }

    /** Takes over the values of the cell that begins with this block. */
    void move(LiveValues v, Block block, Compression law, Detector detector) {
        if (v.moves(threshold)) detector.threshold(v.at(threshold, block), v.next(threshold, block));
        detector.curve(now(v, ratio, block, law.ratio()), now(v, knee, block, law.kneeDb()));
        detector.times(now(v, attack, block, law.attackMs()), now(v, release, block, law.releaseMs()));
    }

    private static double now(LiveValues v, Live setting, Block block, double otherwise) {
        return v.moves(setting) ? v.next(setting, block) : otherwise;
    }
}
