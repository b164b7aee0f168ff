package linnet.draft;

import static linnet.draft.Proposal.leftOut;
import static linnet.draft.Proposal.step;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.Function;
import linnet.dsp.repair.NoiseSpectrum;
import linnet.hear.Ear;
import linnet.hear.Event;
import linnet.hear.Facts;
import linnet.hear.Hum;
import linnet.hear.Mark;
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
            Rules::hum, Rules::denoise, Rules::declick, Rules::pops, Rules::breaths, Rules::ride, Rules::bring,
            Rules::gate, Rules::subtract, Rules::peaks, Rules::multiband, Rules::level, Rules::tone, Rules::deEss, Rules::limit);

    /** A measured value of less confidence decides nothing. */
    private static final double SURE = 0.5;
    /** dBFS, RMS of what is sung. */
    private static final double WORKING_LEVEL = -18;
    /** dB against the voice: sibilants above it want taming, so nothing lifts them. */
    private static final double SHARP = -12;

    private Rules() {}

    /** What lies less than 60 dB under the voice will be heard after compression. */
    static Proposal hum(Facts f) {
        Measured<Hum> hum = f.hum();
        if (!hum.known()) return leftOut("Against hum: " + hum.reason() + ".");
        double under = f.ear().voice().value().orElse(0.0) - hum.value().get().dbfs();
        String measured = String.format(Locale.ROOT, "the mains hum at %.0f Hz and its multiples, %.0f dB under the voice", hum.value().get().hz(), under);
        return under < 60 ? step(upper(measured) + ".", "- hum") : leftOut("Against hum: " + measured + ", too soft to matter.");
    }

    /** A lead bears 3 to 6 dB; where the room is quieter a gate or nothing does. */
    static Proposal denoise(Facts f) {
        Measured<Double> apart = apart(f);
        if (!apart.known()) return leftOut("Against noise: " + apart.reason() + ".");
        double db = apart.value().get();
        String measured = String.format(Locale.ROOT, "the pauses lie %.0f dB under the voice", db);
        if (db > 36) return leftOut("Against noise: " + measured + ".");
        double rate = f.ear().sound().rate();
        int windows = f.ear().room().value().map(bare -> bare.stream().mapToInt(s -> NoiseSpectrum.windows(rate, s.to() - s.from())).sum()).orElse(0);
        if (!NoiseSpectrum.isKnownFrom(windows)) {
            return leftOut("Against noise: " + measured
                    + ", but they are too short to hear the noise alone; a take with half a second of bare room could be denoised.");
        }
        return step(upper(measured) + ": the room is heard between the words and beside them, where a gate does not reach.",
                "- denoise: { amount: " + (db < 28 ? "6" : "4") + " dB }");
    }

    private static Measured<Double> apart(Facts f) {
        return f.ear().noise().then(noise -> f.ear().voice().map(voice -> voice - noise));
    }

    static Proposal declick(Facts f) {
        int clicks = f.clicks().value().map(List::size).orElse(0);
        if (clicks == 0) return leftOut("Against clicks: none of the mouth was found.");
        return step(count(clicks, "click") + " of the mouth " + (clicks == 1 ? "was" : "were") + " found; compression would bring "
                + (clicks == 1 ? "it" : "them") + " forward.", "- declick");
    }

    static Proposal pops(Facts f) {
        int pops = f.ear().marks().of(Mark.Kind.PLOSIVE).size();
        if (pops == 0) return leftOut("Against pops: no p or b thumps.");
        return step(count(pops, "thump") + " of p and b, each filtered over its own length.", "- pops");
    }

    /** Lowered, not removed: a lead without breaths sounds dead. */
    static Proposal breaths(Facts f) {
        List<Event> breaths = f.breaths().value().orElse(List.of());
        if (breaths.isEmpty()) return leftOut("Breaths: none was found.");
        double voice = f.ear().voice().value().orElse(0.0), under = voice - breaths.stream().mapToDouble(Event::dbfs).average().orElse(0);
        return step(String.format(Locale.ROOT, "%s, about %.0f dB under the voice; compression brings them forward by some 6 dB, so as much is taken here.",
                count(breaths.size(), "breath"), under),
                "- breaths: { lower: 6 dB }");
    }

    static Proposal ride(Facts f) {
        int phrases = f.ear().marks().of(Mark.Kind.PHRASE).size();
        Measured<Double> range = f.meters().loudnessRange();
        if (phrases < 4 || !range.known() || range.value().get() < 5) {
            return leftOut("A ride: "
                    + (phrases < 4 ? "there are too few phrases to tell a soft one from a soft song." : "the phrases lie near each other already."));
        }
        return step(String.format(Locale.ROOT,
                "The loudness range is %.1f LU over %d phrases: each comes nearer to its section before a compressor has to do it.",
                range.value().get(), phrases),
                "- ride: { amount: 60 %, most: 4 dB }");
    }

    /** Thresholds follow the voice wherever it lies, but a print far from the usual level tells nobody how it sits. */
    static Proposal bring(Facts f) {
        Measured<Double> voice = f.ear().voice();
        if (!voice.known()) return leftOut("A level: there is no voice to bring to the usual one, " + voice.reason() + ".");
        String measured = String.format(Locale.ROOT, "the voice lies at %.1f dBFS", voice.value().get());
        if (Math.abs(voice.value().get() - WORKING_LEVEL) < 3) return leftOut("A level: " + measured + ", near the usual -18.");
        return step(upper(measured) + "; about -18 is usual.", "- level");
    }

    /** Compression lifts the pauses by about 9 dB; 50 dB down they stay unheard, and 25 dB down a gate would be heard at work. */
    static Proposal gate(Facts f) {
        Measured<Double> apart = apart(f);
        if (!apart.known()) return leftOut("A gate: " + apart.reason() + ".");
        double db = apart.value().get();
        String measured = String.format(Locale.ROOT, "the pauses lie %.0f dB under the voice", db);
        if (db < 25) return leftOut("A gate: " + measured + ", so near that it would be heard opening and closing.");
        if (db >= 50) return leftOut("A gate: " + measured + ", quiet enough.");
        return step(upper(measured) + ", and compression will bring them up by some 9 dB.",
                "- gate: { threshold: " + (db > 36 ? "30 dB under voice" : "8 dB over noise") + ", floor: -12 dB }");
    }

    static Proposal subtract(Facts f) {
        List<String> why = new ArrayList<>(), bands = new ArrayList<>();
        f.ear().lowestNote().value().ifPresent(note -> {
            boolean rumbles = f.rumble().value().orElse(Double.NEGATIVE_INFINITY) > f.ear().voice().value().orElse(0.0) - 40;
            boolean high = 0.8 * note > Ear.HIGHEST_CORNER;
            why.add(String.format(Locale.ROOT, "The lowest note is %.0f Hz%s%s.", note,
                    high ? ", so high that a corner just below it would thin the voice" : "",
                    rumbles ? ", and rumble below 100 Hz lies less than 40 dB under the voice" : ""));
            bands.add("    - { high-pass: " + (high ? "120 Hz" : "0.8 x lowest note") + ", slope: " + (rumbles ? 24 : 12) + " dB/oct }");
        });
        f.voiceBands().value().map(Tone::of).filter(t -> t.mud() > 1).ifPresent(t -> {
            why.add("200 to 400 Hz is " + Tone.db(t.mud()) + " stronger than the core of the voice, 400 Hz to 2 kHz.");
            bands.add("    - { bell: 280 Hz, gain: " + (t.mud() > 4 ? "-3" : "-2") + " dB, q: 1.2 }");
        });
        for (int k = 1; k <= 2; k++) {
            Measured<Resonance> r = f.ear().resonance(k);
            if (r.confidence() < SURE || r.value().get().height() < 3) continue;
            Resonance found = r.value().get();
            if (f.ear().mayBeANote(found.hz())) {
                why.add(String.format(Locale.ROOT, "Resonance %d, at %.0f Hz, is left alone: notes are sung there, and one held often looks the same.", k,
                        found.hz()));
                continue;
            }
            why.add(String.format(Locale.ROOT, "Resonance %d rings at %.0f Hz, %.1f dB high, %.2f octaves wide.", k, found.hz(), found.height(),
                    found.width()));
            bands.add(String.format(Locale.ROOT, "    - { bell: resonance %d, gain: -%.1f dB, bandwidth: %.2f }", k, Math.min(3, 0.6 * found.height()),
                    Math.max(0.2, found.width())));
        }
        if (bands.isEmpty()) return leftOut("Cuts before compression: no lowest note, no mud and no resonance was found.");
        bands.add(0, "- eq:");
        return new Proposal(String.join(" ", why), bands);
    }

    static Proposal peaks(Facts f) {
        Measured<Double> crest = f.meters().crest();
        if (!crest.known()) return leftOut("A fast compressor: there are no peaks to catch, " + crest.reason() + ".");
        double db = crest.value().get();
        if (db < 12) return leftOut(String.format(Locale.ROOT, "A fast compressor: peaks stand only %.1f dB over the RMS, it is dense already.", db));
        return step(String.format(Locale.ROOT,
                "Peaks stand %.1f dB over the RMS: first what sticks out, quickly and no more, consonants together with their vowels.", db),
                "- compressor: { name: peaks, character: fast, ratio: 6:1, attack: 0.8 ms, release: 80 ms, lookahead: 90 ms, aim: " + (db >= 18 ? "3" : "2")
                        + " dB, makeup: match }");
    }

    /** Only for what comes and goes: what is always too strong was cut before. */
    static Proposal multiband(Facts f) {
        Measured<Tone> tone = f.voiceBands().map(Tone::of);
        if (!tone.known()) return leftOut("A multiband: the spectrum of the voice can't be measured, " + tone.reason() + ".");
        Tone t = tone.value().get();
        boolean boom = t.boom() > -3, edge = t.edge() > -8;
        if (!boom && !edge) {
            return leftOut(String.format(Locale.ROOT, "A multiband: neither 100 to 200 Hz (%.0f dB against the core) nor 2 to 5 kHz (%.0f dB) is strong.",
                    t.boom(), t.edge()));
        }
        List<String> why = new ArrayList<>();
        if (boom) why.add(String.format(Locale.ROOT, "100 to 200 Hz has %+.0f dB against the core: close words boom.", t.boom()));
        if (edge) why.add(String.format(Locale.ROOT, "2 to 5 kHz has %+.0f dB: loud words get an edge.", t.edge()));
        return step(String.join(" ", why) + " Turned down only while it is there.",
                "- multiband:",
                "    splits: [ 200 Hz, 2.2 kHz, 5 kHz ]",
                "    bands:",
                "      - " + (boom ? "{ ratio: 3:1, threshold: 6 dB under voice, most: 4 dB, attack: 15 ms, release: 120 ms }" : "{}"),
                "      - {}",
                "      - " + (edge ? "{ ratio: 2.5:1, threshold: 8 dB under voice, most: 3 dB, attack: 5 ms, release: 80 ms }" : "{}"),
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
            String air = t.air() <= -60 ? "nothing is there to lift above 10 kHz" : sibilance >= SHARP ? "the sibilants are strong already"
                    : "the air is there";
            return leftOut(String.format(Locale.ROOT, "Lifts: 3 to 5 kHz has %.0f dB against the core, and %s.", t.presence(), air));
        }
        bands.add(0, "- eq:");
        return new Proposal(String.join(" ", why), bands);
    }

    static Proposal deEss(Facts f) {
        Measured<Double> centre = f.ear().sibilance(), strength = f.ear().sibilanceStrength();
        if (!centre.known() || !strength.known()) return leftOut("A de-esser: " + (centre.known() ? strength : centre).reason() + ".");
        double db = strength.value().get();
        String measured = String.format(Locale.ROOT, "sibilants about %.1f kHz, %.0f dB against the voice%s", centre.value().get() / 1000, db,
                centre.confidence() < SURE ? ", though few were heard" : "");
        if (db < -18) return leftOut("A de-esser: " + measured + ", softer than most after compression too.");
        // Where few were heard their band is a guess, and much of a wrong band lisps.
        String most = centre.confidence() < SURE ? "3" : db > -6 ? "6" : db >= SHARP ? "5" : "3";
        return step(upper(measured) + "; compression has brought them forward.", "- de-ess: { most: " + most + " dB }");
    }

    static Proposal limit(Facts f) {
        return step("What is left of the peaks stays under -1 dBTP, as most who receive a file ask.", "- limit: { ceiling: -1 dBTP }");
    }

    private static String count(int n, String noun) {
        return n + " " + noun + (n == 1 ? "" : "s");
    }

    private static String upper(String sentence) {
        return Character.toUpperCase(sentence.charAt(0)) + sentence.substring(1);
    }
}
