package linnet.step.builtin;

import static linnet.setting.Unit.DB;
import static linnet.setting.Unit.DBFS;

import linnet.dsp.dynamics.Duck;
import linnet.hear.Ear;
import linnet.setting.Fixed;
import linnet.setting.Live;
import linnet.setting.Reference;
import linnet.setting.Settings;
import linnet.step.Block;
import linnet.step.FixedValues;
import linnet.step.LiveValues;
import linnet.step.Setup;

/** How far an effect makes room for the dry voice, and from which level on: see {@link Duck}. */
final class DuckSettings {
    /** The duck reads peaks, which stand well above the voice's RMS: this far under it a sung vowel is surely there. */
    private static final double UNDER_VOICE_DB = 6;
    /** And for a take in which no voice can be measured, this far under its highest peak. */
    private static final double UNDER_PEAK_DB = 18;

    private final Fixed depth;
    private final Live threshold;

    /** @param doc of the depth: what becomes of that effect */
    DuckSettings(Settings s, String doc) {
        depth = s.fixed("duck", DB).range(0, 24).usual("0 dB").doc(doc);
        threshold = s.live("duck threshold", DBFS).range(-80, 0).relative(Reference.VOICE, Reference.NOISE, Reference.PEAK).otherwise("6 dB under voice")
                .doc("Peak level from which the voice counts as present for the duck.");
    }

    double depthDb(FixedValues fixed) {
        return fixed.get(depth);
    }

    /** By how many samples the effect is later where it is ducked. */
    int latency(FixedValues fixed, Setup setup) {
        return depthDb(fixed) > 0 ? Duck.latency(setup.rate()) : 0;
    }

    /** True if the threshold must be found by hearing. */
    boolean hears(FixedValues fixed) {
        return depthDb(fixed) > 0 && !fixed.given(threshold);
    }

    /** The threshold to begin with: given, or else heard, and told to the user. */
    double first(LiveValues v, Ear ear) {
        if (v.given(threshold)) return v.first(threshold);
        double heard = ear.voice().value().map(voice -> voice - UNDER_VOICE_DB)
                .or(() -> ear.peak().value().map(peak -> peak - UNDER_PEAK_DB)).orElse(0.0);
        v.found(threshold.name(), DBFS.format(heard, 1));
        return heard;
    }

    boolean moves(LiveValues v) {
        return v.moves(threshold);
    }

    /** The threshold where the cell of this block ends; only for one that moves. */
    double next(LiveValues v, Block block) {
        return v.next(threshold, block);
    }
}
