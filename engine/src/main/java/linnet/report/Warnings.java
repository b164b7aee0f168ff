package linnet.report;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.IntStream;
import linnet.report.PhraseCells.Span;

/**
 * What a professional would stop at, rule by rule, each beside the fact of the trade that it rests on. Where a limit is common practice
 * or a judgement of ours, it says so. What an effect is for is no fault: a crushed branch may be crushed.
 */
final class Warnings {
    /**
     * @param step its number; 0 for the print
     * @param urgent a fault, rather than something worth knowing
     * @param at seconds of the take, where it is at one place
     */
    record Warning(int step, boolean urgent, OptionalDouble at, String text) {}

    /** A gate's gain stands at -1 dB or higher until the voice is 35 dB under the peak of its phrase: below that an ending is not missed. Judgement. */
    private static final double OPEN_DB = 1, ENDING_DB = 35;
    /** An unvoiced stop begins about 60 ms before the vowel (D. Klatt, JASA 54(S1), 319, 1973); what ends a word lasts as long. */
    private static final double CONSONANT_SECONDS = 0.06;
    /** A vowel takes its full level in about this time. Judgement. */
    private static final double ONSET_SECONDS = 0.05;
    /** Not more than one move of a gate in 150 ms; less than 6 dB is hardly heard in what a gate lowers. Judgement. */
    private static final double CHATTER_SECONDS = 0.15, MOVE_DB = 6;
    /** So far from the end of a stretch it is the ending that is cut. */
    private static final double ENDING_SECONDS = 0.15;
    /**
     * What lies so far over the noise, in words that follow each other for longer than any breath lasts, may be whispered: it has no pitch, and lies too far
     * under the rest to be taken for singing. Not so soon after a phrase, where it dies away. A gate that turns a good part of it down so much holds it back.
     * Judgement.
     */
    private static final double OVER_NOISE_DB = 20, DYING_SECONDS = 0.2, WORDS_APART_SECONDS = 0.3, BREATH_SECONDS = 2, HELD_DB = 3, HELD_SHARE = 0.25;
    /** The noise lies in the quietest twentieth of all cells. */
    private static final double QUIET = 0.05;
    /** One compressor alone takes 3 to 6 dB, a shout 6 more; beyond, the room and the breaths come up with it. Common practice. */
    private static final double DEEP_DB = 12;
    /** A crushed path takes 15 to 20 dB. Common practice. */
    private static final double CRUSHED_DB = 20;
    /** Who aims for so much wants it crushed: a voice's own swings take it to twice that. Common practice. */
    private static final double WANTS_CRUSHED_DB = 8;
    /** In a pause of a second every release for a voice is over, the slow part of an optical one included. Common practice. */
    private static final double LONG_PAUSE_SECONDS = 1, HOLDS_DB = 1;
    /**
     * A sibilant lasts 70 to 150 ms and its release some 50 more; longer it is a vowel that is lowered, which is not to be touched. Voiced
     * sibilants have a pitch too: in speech full of them a tenth of all cells with one, in read Japanese. Common practice; the last measured.
     */
    private static final double SIBILANT_SECONDS = 0.25, SIBILANT_SHARE = 0.15, TOUCHED_DB = 1;
    /** A limiter is there for the rare peak. Common practice. */
    private static final double LIMITED_DB = 6, LIMITING_DB = 0.5, LIMITING_SHARE = 0.5;
    /** Louder sounds better: a step is judged fairly only as loud as without it. Judgement. */
    private static final double LOUDNESS_LU = 3;
    private static final double AIM_DB = 0.5, AIM_SHARE = 0.2;
    /** For peaks 2 to 4 dB are usual, 6 on shouts, for the level 2 to 5: so much over what was asked, a phrase is crushed. Common practice. */
    private static final double CRUSHED_PHRASE_DB = 4;
    /** AES TD1008 (2021), for a master, as trade summaries report it. */
    private static final double HIGHEST_DBTP = -1;
    /** A reverb lies 9 LU under the voice in a chorus (Pestana, Reiss, 2014) to 20 in a dry verse, a slap 12 to 20. Common practice; 3 LU of leeway. */
    private static final double WETTEST_LU = 9, DRIEST_LU = 20, LEEWAY_LU = 3;
    /** An ending that is cut off above this is heard as cut. Judgement. */
    private static final double ENDS_DBFS = -60;
    private static final int TIMES_TOLD = 4;

    private final PhraseCells phrases;
    private final double from;
    private final List<Warning> found = new ArrayList<>();

    /** @param from seconds of the take at which the report begins */
    private Warnings(PhraseCells phrases, double from) {
        this.phrases = phrases;
        this.from = from;
    }

    static List<Warning> of(List<StepReport> steps, RenderReport.Printed print, PhraseCells phrases, RenderReport.Covered covered) {
        Warnings w = new Warnings(phrases, covered.from());
        w.print(print, covered.goesOn());
        for (StepReport step : steps) {
            if (step.didNothing()) {
                w.idle(step);
                continue;
            }
            switch (step.word()) {
                case "gate" -> {
                    w.gateCloses(step);
                    w.gateHoldsBack(step);
                    w.gateChatters(step);
                }
                case "compressor", "multiband" -> w.compressor(step, misled(steps, step));
                case "de-ess" -> w.deEsser(step);
                case "limit" -> w.limiter(step);
                case "reverb", "delay" -> w.wet(step);
                default -> { }
            }
            if (w.aimIsMet(step) && print.sung()) w.crushedPhrase(step);
        }
        return List.copyOf(w.found);
    }

    private void print(RenderReport.Printed print, boolean goesOn) {
        if (print.print() && print.truePeakDbtp() > HIGHEST_DBTP) {
            say(0, true, String.format(Locale.ROOT, "The print's true peak is %s, over −1 dBTP: a lossy copy of it may clip. End the chain with limit.",
                    number(print.truePeakDbtp(), "dBTP")));
        }
        if (print.print() && print.endDbfs() > ENDS_DBFS) {
            say(0, true, "The print ends while it still sounds, at " + number(print.endDbfs(), "dBFS") + ": give it a longer --tail, or end it later.");
        }
        // What begins or ends with drums cuts nobody off.
        if (!print.sung()) return;
        BitSet sung = phrases.sung();
        if (sung.get(0)) say(0, false, "Someone sings already where it begins: the first consonant may be missing.");
        // Where a stretch ends is meant, and its last word goes on in the take.
        if (!goesOn && phrases.cells() > 0 && sung.get(phrases.cells() - 1)) {
            say(0, false, "Someone still sings where the take ends: the last word may be cut.");
        }
    }

    private void idle(StepReport step) {
        if (!step.given().mayRest()) say(step.number(), false, "It changed nothing: what came in went out.");
    }

    private void gateCloses(StepReport step) {
        float[] level = step.arrivingDb(), reduction = step.reductionDb();
        int consonant = phrases.cells(CONSONANT_SECONDS), onset = phrases.cells(ONSET_SECONDS), ending = phrases.cells(ENDING_SECONDS);
        List<Integer> late = new ArrayList<>(), ends = new ArrayList<>(), within = new ArrayList<>();
        for (Span s : phrases.stretches()) {
            double heard = loudest(level, s) - ENDING_DB;
            int opens = Math.min(s.to(), s.from() + onset);
            first(s.from() - consonant, opens, level, heard, reduction).ifPresent(late::add);
            first(opened(opens, s.to(), reduction), s.to() - ending, level, heard, reduction).ifPresent(within::add);
            first(Math.max(opened(opens, s.to(), reduction), s.to() - ending), s.to() + consonant, level, heard, reduction).ifPresent(ends::add);
        }
        say(step, ends, "The gate closes on word endings", "Lower its threshold, or give it a longer hold or release.");
        say(step, within, "The gate closes while someone sings", "Lower its threshold.");
        say(step, late, "The gate opens late, onto a word that has begun", "Give it more lookahead, or lower its threshold.");
    }

    /** The first cell of those in which the gate has opened. */
    private static int opened(int from, int to, float[] reduction) {
        int c = from;
        while (c < Math.min(to, reduction.length) && reduction[c] > OPEN_DB) c++;
        return c;
    }

    /** The first cell in which something that is heard is turned down. */
    private static Optional<Integer> first(int from, int to, float[] level, double heard, float[] reduction) {
        for (int c = Math.max(0, from); c < Math.min(to, Math.min(level.length, reduction.length)); c++) {
            if (level[c] > heard && reduction[c] > OPEN_DB) return Optional.of(c);
        }
        return Optional.empty();
    }

    private static double loudest(float[] level, Span s) {
        double most = Double.NEGATIVE_INFINITY;
        for (int c = s.from(); c < Math.min(s.to(), level.length); c++) most = Math.max(most, level[c]);
        return most;
    }

    private void gateHoldsBack(StepReport step) {
        float[] level = step.arrivingDb(), reduction = step.reductionDb();
        double loud = noise(level) + OVER_NOISE_DB;
        BitSet words = new BitSet(), held = new BitSet();
        for (int c = 0; c < Math.min(level.length, reduction.length); c++) words.set(c, level[c] > loud);
        for (Span phrase : phrases.phrases()) words.clear(phrase.from(), phrase.to() + phrases.cells(DYING_SECONDS));
        words.stream().filter(c -> reduction[c] > HELD_DB).forEach(held::set);
        List<Integer> passages = new ArrayList<>();
        for (int from = words.nextSetBit(0); from >= 0; ) {
            int to = words.nextClearBit(from), next = words.nextSetBit(to);
            while (next >= 0 && next - to <= phrases.cells(WORDS_APART_SECONDS)) {
                to = words.nextClearBit(next);
                next = words.nextSetBit(to);
            }
            if (to - from > phrases.cells(BREATH_SECONDS) && held.get(from, to).cardinality() > HELD_SHARE * words.get(from, to).cardinality()) {
                passages.add(from);
            }
            from = next;
        }
        say(step, passages, "The gate turns down what lies 20 dB over the noise and goes on for longer than a breath",
                "If it is sung or whispered, say threshold: 40 dB under voice, or 10 dB over noise.");
    }

    /** In dBFS; not a number where nothing sounds. */
    private static double noise(float[] level) {
        double[] sounding = IntStream.range(0, level.length).mapToDouble(c -> level[c]).filter(Double::isFinite).sorted().toArray();
        return sounding.length == 0 ? Double.NaN : sounding[(int) (QUIET * sounding.length)];
    }

    private void gateChatters(StepReport step) {
        float[] r = step.reductionDb();
        List<Integer> turns = turns(r), hurried = new ArrayList<>();
        for (int i = 1; i < turns.size(); i++) {
            if (turns.get(i) - turns.get(i - 1) <= phrases.cells(CHATTER_SECONDS)) hurried.add(turns.get(i));
        }
        say(step, hurried, "The gate moves twice within 150 ms", "Give it more hold or hysteresis.");
    }

    /** Where the gain turns, moves of less than 6 dB left out: each at the last cell before it goes the other way. */
    private static List<Integer> turns(float[] r) {
        List<Integer> turns = new ArrayList<>();
        int low = 0, high = 0, going = 0;
        for (int c = 1; c < r.length; c++) {
            if (r[c] <= r[low]) low = c;
            if (r[c] >= r[high]) high = c;
            if (going <= 0 && r[c] - r[low] >= MOVE_DB) {
                turns.add(low);
                going = 1;
                high = c;
            } else if (going >= 0 && r[high] - r[c] >= MOVE_DB) {
                turns.add(high);
                going = -1;
                low = c;
            }
        }
        return turns;
    }

    /**
     * The steps after one that go by the level at which the voice arrives, up to one that sets it anew: a threshold in dBFS, and a curve that bends at full
     * scale. A ceiling is for whatever comes, and the less it has to do the better.
     */
    private static List<String> misled(List<StepReport> steps, StepReport by) {
        List<String> misled = new ArrayList<>();
        for (StepReport s : steps.subList(steps.indexOf(by) + 1, steps.size())) {
            if (s.didNothing()) continue;
            if (s.word().equals("level")) break;
            if (s.given().atLevel() || s.word().equals("saturate")) misled.add(s.number() + ", " + s.name());
        }
        return misled;
    }

    /** @param misled the steps after it that hear another voice where it leaves one */
    private void compressor(StepReport step, List<String> misled) {
        BitSet sung = phrases.sung();
        double deep = step.reductionDb(0.95, sung);
        boolean onItsOwn = onItsOwn(step);
        boolean wanted = step.given().aimDb().orElse(0) >= WANTS_CRUSHED_DB;
        if (!wanted && deep > (onItsOwn ? DEEP_DB : CRUSHED_DB)) {
            say(step.number(), true,
                    "It takes " + number(deep, "dB")
                    + " or more in one of twenty sung moments: breaths and room come up with it. Raise the threshold, lower the ratio, or share the work with "
                    + "a second one.");
        }
        neverLetsGo(step);
        double change = step.changeLu();
        if (onItsOwn && !step.given().makesUp() && change < -LOUDNESS_LU && !misled.isEmpty()) {
            say(step.number(), true,
                    "It leaves the voice " + number(-change, "LU") + " quieter, and nothing makes up for it, though what comes after it goes by a level ("
                    + String.join("; ", misled) + "). Say makeup: match.");
        }
    }

    private void neverLetsGo(StepReport step) {
        float[] r = step.reductionDb();
        List<Span> pauses = phrases.pauses().stream().filter(p -> p.length() >= phrases.cells(LONG_PAUSE_SECONDS) && p.to() <= r.length).toList();
        if (pauses.isEmpty()) return;
        double holds = pauses.stream().mapToDouble(p -> least(r, p)).min().orElseThrow();
        if (holds > Math.max(HOLDS_DB, step.reductionDb(0.5, phrases.sung()) / 2)) {
            say(step.number(), true, "It never lets go: even in long pauses it still takes " + number(holds, "dB")
                    + ". Shorten the release, or raise the threshold.");
        }
    }

    private static double least(float[] r, Span s) {
        double least = Double.POSITIVE_INFINITY;
        for (int c = s.from(); c < s.to(); c++) least = Math.min(least, r[c]);
        return least;
    }

    private void deEsser(StepReport step) {
        float[] r = step.reductionDb();
        BitSet voiced = phrases.voiced();
        List<Integer> held = new ArrayList<>();
        int touched = 0;
        for (int c = 0, run = 0; c < r.length; c++) {
            boolean on = voiced.get(c) && r[c] > TOUCHED_DB;
            run = on ? run + 1 : 0;
            // Where the gain comes back it is a sibilant's release that reaches into the vowel.
            if (on && (c == 0 || r[c] >= r[c - 1])) touched++;
            if (run == phrases.cells(SIBILANT_SECONDS)) held.add(c - run + 1);
        }
        double share = voiced.isEmpty() ? 0 : (double) touched / voiced.cardinality();
        String cure = "Raise its threshold, or move its band up.";
        if (!held.isEmpty()) say(step, held, "It turns vowels down, not sibilants alone", cure);
        else if (share > SIBILANT_SHARE) say(step.number(), true,
                String.format(Locale.ROOT, "It works in %.0f %% of all moments with a pitch, and vowels are such: the voice turns dull. %s",
                        100 * share, cure));
    }

    private void limiter(StepReport step) {
        float[] r = step.reductionDb();
        int deepest = 0;
        for (int c = 1; c < r.length; c++) if (r[c] > r[deepest]) deepest = c;
        if (r.length > 0 && r[deepest] > LIMITED_DB) {
            say(step, List.of(deepest), "It takes up to " + number(r[deepest], "dB"), "Lower what comes in with a trim, or compress before it.");
        }
        BitSet sung = phrases.sung();
        long at = sung.stream().filter(c -> c < r.length && r[c] > LIMITING_DB).count();
        if (!sung.isEmpty() && at > LIMITING_SHARE * sung.cardinality()) {
            say(step.number(), true,
                    String.format(Locale.ROOT, "It works in %.0f %% of all sung moments; a limiter is for the rare peak. Lower what comes in with a trim.",
                            100.0 * at / sung.cardinality()));
        }
    }

    private void wet(StepReport step) {
        OptionalDouble under = step.wetUnderDryLu();
        if (under.isEmpty()) return;
        String where = "Its sound lies " + number(Math.abs(under.getAsDouble()), "LU") + (under.getAsDouble() < 0 ? " over the voice" : " under the voice");
        if (under.getAsDouble() < WETTEST_LU - LEEWAY_LU) {
            say(step.number(), true, where + "; listeners like it about 9 LU under. Lower its mix, unless it is an effect.");
        }
        if (under.getAsDouble() > DRIEST_LU + LEEWAY_LU) say(step.number(), false, where + ", where it is hardly heard; usual is 9 to 20 LU.");
    }

    /** Tells an aim that is not. */
    private boolean aimIsMet(StepReport step) {
        if (step.given().aimDb().isEmpty()) return false;
        double aim = step.given().aimDb().getAsDouble(), median = step.reductionDb(0.5, phrases.sung());
        if (Math.abs(median - aim) <= Math.max(AIM_DB, AIM_SHARE * aim)) return true;
        say(step.number(), true, "Its aim of " + number(aim, "dB") + " is not met: while someone sings it takes " + number(median, "dB") + " (median).");
        return false;
    }

    /** An aim is a median: of a soft verse and a loud chorus it says what neither gets. What lies beside a dry voice leaves that as loud as it was. */
    private void crushedPhrase(StepReport step) {
        double aim = step.given().aimDb().getAsDouble(), most = aim + CRUSHED_PHRASE_DB;
        if (aim >= WANTS_CRUSHED_DB || !onItsOwn(step)) return;
        PhraseCells.Span hardest = null;
        for (PhraseCells.Span p : phrases.phrases()) {
            BitSet sung = phrases.sung(p);
            double median = sung.isEmpty() ? 0 : step.reductionDb(0.5, sung);
            if (median <= most) continue;
            most = median;
            hardest = p;
        }
        if (hardest == null) return;
        double at = seconds(hardest.from());
        found.add(new Warning(step.number(), true, OptionalDouble.of(at), "Its aim of " + number(aim, "dB") + " is met over the whole, but from the phrase at "
                + Clock.tenths(at) + " it takes " + number(most, "dB") + " (median): what is loud comes out as soft as the rest, and dull. Bring phrases "
                + "nearer before it, with ride, which has 'sections' for a verse under its chorus, or with a trim that moves."));
    }

    private static boolean onItsOwn(StepReport step) {
        return !step.given().inBranch() && step.given().mix().orElse(0) == 1;
    }

    private void say(int step, boolean urgent, String text) {
        found.add(new Warning(step, urgent, OptionalDouble.empty(), text));
    }

    private void say(StepReport step, List<Integer> cells, String what, String cure) {
        if (cells.isEmpty()) return;
        List<String> times = cells.stream().limit(TIMES_TOLD).map(c -> Clock.tenths(seconds(c))).toList();
        String more = cells.size() > TIMES_TOLD ? " and at " + (cells.size() - TIMES_TOLD) + " more places" : "";
        found.add(new Warning(step.number(), true, OptionalDouble.of(seconds(cells.get(0))), what + " at " + String.join(", ", times) + more + ". " + cure));
    }

    private double seconds(int cell) {
        return from + cell * phrases.cellSeconds();
    }

    private static String number(double value, String unit) {
        return Figure.of(value, 1) + " " + unit;
    }
}
