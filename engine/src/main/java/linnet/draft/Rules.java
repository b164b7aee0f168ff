package linnet.draft;

import static linnet.draft.Proposal.leftOut;
import static linnet.draft.Proposal.step;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.Function;
import linnet.hear.Facts;
import linnet.hear.Hum;
import linnet.hear.Measured;
import linnet.hear.Resonance;

/**
 * From facts to steps, in the order of the chain. All of it is common practice of vocal work, and none of it law: values are
 * stated against the singer where they can be, small where the ear must decide, and a region that is strong already is never
 * lifted.
 */
final class Rules {
    /** In order. */
    static final List<Function<Facts, Proposal>> ALL = List.of(
            Rules::trim, Rules::gate, Rules::subtract, Rules::peaks, Rules::multiband, Rules::level, Rules::tone, Rules::deEss, Rules::limit);

    /** A measured value of less confidence decides nothing. */
    private static final double SURE = 0.5;
    /** Hz; 100 to 120 are usual for high voices. */
    private static final double HIGHEST_CORNER = 120;
    /** dBFS, RMS of what is sung. */
    private static final double WORKING_LEVEL = -18;
    /** dB against the voice: sibilants above it want taming, so nothing lifts them. */
    private static final double SHARP = -12;
    private static final double SEMITONE = StrictMath.pow(2, 1 / 12.0);

    private Rules() {}

    /** Thresholds follow the voice wherever it lies, but a print far from the usual level tells nobody how it sits. */
    static Proposal trim(Facts f) {
        Measured<Double> voice = f.ear().voice();
        if (!voice.known()) return leftOut("A trim: there is no voice to bring to the usual level, " + voice.reason() + ".");
        double off = voice.value().get() - WORKING_LEVEL;
        if (Math.abs(off) < 3) return leftOut(String.format(Locale.ROOT, "A trim: the voice lies at %.1f dBFS, near the usual -18.", voice.value().get()));
        return step(String.format(Locale.ROOT, "The voice lies at %.1f dBFS; about -18 is usual.", voice.value().get()),
                String.format(Locale.ROOT, "- trim: { level: %.0f dB }", Math.max(-24, Math.min(24, -off))));
    }

    /** Compression lifts the pauses by about 9 dB; 50 dB down they stay unheard, and 25 dB down a gate would be heard at work. */
    static Proposal gate(Facts f) {
        Measured<Double> noise = f.ear().noise(), voice = f.ear().voice();
        if (!noise.known()) return leftOut("A gate: the noise can't be measured, " + noise.reason() + ".");
        if (!voice.known()) return leftOut("A gate: there is no voice to set it by, " + voice.reason() + ".");
        double apart = voice.value().get() - noise.value().get();
        String measured = String.format(Locale.ROOT, "the pauses lie %.0f dB under the voice", apart);
        if (apart < 25) return leftOut("A gate: " + measured + ", so near that it would be heard opening and closing.");
        if (apart >= 50) return step(upper(measured) + ": quiet enough. This only keeps breaths down, which compression would bring forward; leave it out for an intimate song.",
                "- gate: { threshold: 30 dB under voice, floor: -8 dB }");
        return step(upper(measured) + ", and compression will bring them up by some 9 dB.",
                "- gate: { threshold: " + (apart > 36 ? "30 dB under voice" : "8 dB over noise") + ", floor: -12 dB }");
    }

    static Proposal subtract(Facts f) {
        List<String> why = new ArrayList<>(), bands = new ArrayList<>();
        f.ear().lowestNote().value().ifPresent(note -> {
            boolean rumbles = f.rumble().value().orElse(Double.NEGATIVE_INFINITY) > f.ear().voice().value().orElse(0.0) - 40;
            boolean high = 0.8 * note > HIGHEST_CORNER;
            why.add(String.format(Locale.ROOT, "The lowest note is %.0f Hz%s%s.", note, high ? ", so high that a corner just below it would thin the voice" : "",
                    rumbles ? ", and rumble below 100 Hz lies less than 40 dB under the voice" : ""));
            bands.add("    - { high-pass: " + (high ? "120 Hz" : "0.8 x lowest note") + ", slope: " + (rumbles ? 24 : 12) + " dB/oct }");
        });
        f.hum().value().ifPresent(hum -> hum(f, hum, why, bands));
        f.voiceBands().value().map(Tone::of).filter(t -> t.mud() > 1).ifPresent(t -> {
            why.add("200 to 400 Hz is " + Tone.db(t.mud()) + " stronger than the core of the voice, 400 Hz to 2 kHz.");
            bands.add("    - { bell: 280 Hz, gain: " + (t.mud() > 4 ? "-3" : "-2") + " dB, q: 1.2 }");
        });
        for (int k = 1; k <= 2; k++) {
            Measured<Resonance> r = f.ear().resonance(k);
            if (r.confidence() < SURE || r.value().get().height() < 3) continue;
            Resonance found = r.value().get();
            if (mayBeANote(f, found.hz())) {
                why.add(String.format(Locale.ROOT, "Resonance %d, at %.0f Hz, is left alone: notes are sung there, and one held often looks the same.", k, found.hz()));
                continue;
            }
            why.add(String.format(Locale.ROOT, "Resonance %d rings at %.0f Hz, %.1f dB high, %.2f octaves wide.", k, found.hz(), found.height(), found.width()));
            bands.add(String.format(Locale.ROOT, "    - { bell: resonance %d, gain: -%.1f dB, bandwidth: %.2f }", k, Math.min(3, 0.6 * found.height()), Math.max(0.2, found.width())));
        }
        if (bands.isEmpty()) return leftOut("Cuts before compression: no lowest note, no mud and no resonance was found.");
        bands.add(0, "- eq:");
        return new Proposal(String.join(" ", why), bands);
    }

    /** Among the notes that are sung, or an octave over the middle of them within a semitone. */
    private static boolean mayBeANote(Facts f, double hz) {
        double highest = f.highestNote().value().orElse(0.0), octave = 2 * f.medianPitch().value().orElse(0.0);
        return hz <= SEMITONE * highest || hz > octave / SEMITONE && hz < octave * SEMITONE;
    }

    /** Where the high-pass leaves a line of hum, and it lies less than 60 dB under the voice, it will be heard after compression. */
    private static void hum(Facts f, Hum hum, List<String> why, List<String> bands) {
        double from = Math.min(HIGHEST_CORNER, 0.8 * f.ear().lowestNote().value().orElse(0.0)), least = f.ear().voice().value().orElse(0.0) - 60;
        for (int k = 0; k < hum.harmonics().hz().length; k++) {
            double hz = hum.harmonics().hz()[k];
            if (hz < from || hum.harmonics().dbfs()[k] < least) continue;
            why.add(String.format(Locale.ROOT, "The mains hum at %.0f Hz, %.0f dBFS.", hz, hum.harmonics().dbfs()[k]));
            bands.add(String.format(Locale.ROOT, "    - { notch: %.0f Hz, q: 30 }", hz));
        }
    }

    static Proposal peaks(Facts f) {
        Measured<Double> crest = f.meters().crest();
        if (!crest.known()) return leftOut("A fast compressor: there are no peaks to catch, " + crest.reason() + ".");
        double db = crest.value().get();
        if (db < 12) return leftOut(String.format(Locale.ROOT, "A fast compressor: peaks stand only %.1f dB over the RMS, it is dense already.", db));
        return step(String.format(Locale.ROOT, "Peaks stand %.1f dB over the RMS: first what sticks out, quickly and no more.", db),
                "- compressor: { name: peaks, character: fast, ratio: 6:1, attack: 0.8 ms, release: 80 ms, aim: " + (db >= 18 ? "3" : "2") + " dB, makeup: match }");
    }

    /** Only for what comes and goes: what is always too strong was cut before. */
    static Proposal multiband(Facts f) {
        Measured<Tone> tone = f.voiceBands().map(Tone::of);
        if (!tone.known()) return leftOut("A multiband: the spectrum of the voice can't be measured, " + tone.reason() + ".");
        Tone t = tone.value().get();
        boolean boom = t.boom() > -3, edge = t.edge() > -8;
        if (!boom && !edge) return leftOut(String.format(Locale.ROOT, "A multiband: neither 100 to 200 Hz (%.0f dB against the core) nor 2 to 5 kHz (%.0f dB) is strong.", t.boom(), t.edge()));
        List<String> why = new ArrayList<>();
        if (boom) why.add(String.format(Locale.ROOT, "100 to 200 Hz has %+.0f dB against the core: close words boom.", t.boom()));
        if (edge) why.add(String.format(Locale.ROOT, "2 to 5 kHz has %+.0f dB: loud words get an edge.", t.edge()));
        return step(String.join(" ", why) + " Turned down only while it is there.",
                "- multiband:",
                "    splits: [ 200 Hz, 2.2 kHz, 5 kHz ]",
                "    bands:",
                "      - " + (boom ? "{ ratio: 3:1, threshold: 6 dB under voice, attack: 15 ms, release: 120 ms }" : "{}"),
                "      - {}",
                "      - " + (edge ? "{ ratio: 2.5:1, threshold: 8 dB under voice, attack: 5 ms, release: 80 ms }" : "{}"),
                "      - {}");
    }

    static Proposal level(Facts f) {
        if (!f.ear().voice().known()) return leftOut("A slow compressor: there is no voice to level, " + f.ear().voice().reason() + ".");
        Measured<Double> range = f.meters().loudnessRange();
        boolean sure = range.confidence() >= SURE;
        double lu = range.value().orElse(5.0);
        String aim = lu < 3 ? "2" : sure && lu > 8 ? "4" : "3";
        String why = !range.known() ? "The loudness range can't be measured, " + range.reason() + "; the usual amount, slowly."
                : String.format(Locale.ROOT, "The loudness range is %.1f LU%s: the level of the line, slowly.", lu, sure ? "" : " (unsure, the take is short)");
        return step(why, "- compressor: { name: level, character: optical, ratio: 3:1, aim: " + aim + " dB, makeup: match }");
    }

    /** Little, and wide. A lift of 3 to 5 kHz or of the air also lifts the sibilants. */
    static Proposal tone(Facts f) {
        Measured<Tone> tone = f.voiceBands().map(Tone::of);
        if (!tone.known()) return leftOut("Tone: the spectrum of the voice can't be measured, " + tone.reason() + ".");
        Tone t = tone.value().get();
        double sibilance = f.ear().sibilanceStrength().value().orElse(Double.NEGATIVE_INFINITY);
        List<String> why = new ArrayList<>(), bands = new ArrayList<>();
        if (t.presence() < -18) {
            why.add("3 to 5 kHz lies " + Tone.db(t.presence()) + " under the core: a dark voice or microphone.");
            bands.add("    - { bell: 4 kHz, gain: " + (t.presence() < -24 ? "2" : "1.5") + " dB, q: 0.8 }");
        }
        if (t.air() < -32 && t.air() > -60 && sibilance < SHARP) {
            why.add("10 to 16 kHz lies " + Tone.db(t.air()) + " under it, and the sibilants are not strong.");
            bands.add("    - { high-shelf: 10 kHz, gain: 1.5 dB }");
        }
        if (bands.isEmpty()) {
            String air = t.air() <= -60 ? "nothing is there to lift above 10 kHz" : sibilance >= SHARP ? "the sibilants are strong already" : "the air is there";
            return leftOut(String.format(Locale.ROOT, "Lifts: 3 to 5 kHz has %.0f dB against the core, and %s.", t.presence(), air));
        }
        bands.add(0, "- eq:");
        return new Proposal(String.join(" ", why), bands);
    }

    static Proposal deEss(Facts f) {
        Measured<Double> centre = f.ear().sibilance(), strength = f.ear().sibilanceStrength();
        if (!centre.known() || !strength.known()) return leftOut("A de-esser: " + (centre.known() ? strength : centre).reason() + ".");
        double db = strength.value().get();
        String measured = String.format(Locale.ROOT, "sibilants about %.1f kHz, %.0f dB against the voice%s", centre.value().get() / 1000, db, centre.confidence() < SURE ? ", though few were heard" : "");
        if (db < -18) return leftOut("A de-esser: " + measured + ", softer than most after compression too.");
        // Where few were heard their band is a guess, and much of a wrong band lisps.
        String most = centre.confidence() < SURE ? "3" : db > -6 ? "6" : db >= SHARP ? "5" : "3";
        return step(upper(measured) + "; compression has brought them forward.", "- de-ess: { most: " + most + " dB }");
    }

    static Proposal limit(Facts f) {
        return step("What is left of the peaks stays under -1 dBTP, as most who receive a file ask.", "- limit: { ceiling: -1 dBTP }");
    }

    private static String upper(String sentence) {
        return Character.toUpperCase(sentence.charAt(0)) + sentence.substring(1);
    }
}
