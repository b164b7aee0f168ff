package linnet.tidy;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import linnet.dsp.Decibels;
import linnet.dsp.repair.GainCurve;
import linnet.hear.Ear;
import linnet.tidy.Decision.What;

/** Evens the level of the phrases, each as a whole. Breaths and pauses never rise. */
final class Evening {
    /** How far a phrase is moved at most, in dB, and the ramp in the pause beside it, in seconds. */
    private static final double MOST_DB = 12, RAMP = 0.04;

    private final Ear ear;
    private final List<Phrases.Phrase> phrases;
    private final double[] moves;

    /** @param free which phrases may be touched */
    Evening(Ear ear, List<Phrases.Phrase> phrases, boolean[] free, Lead lead, Aims.Level level, List<Decision> decisions) {
        this.ear = ear;
        this.phrases = phrases;
        moves = new double[phrases.size()];
        double[] wanted = new double[moves.length];
        OptionalDouble[] heard = new OptionalDouble[moves.length];
        for (int p = 0; p < moves.length; p++) {
            heard[p] = voice(ear, phrases.get(p));
            OptionalDouble target = level instanceof Aims.Level.At at ? OptionalDouble.of(at.dbfs()) : lead.level(phrases.get(p));
            wanted[p] = heard[p].isPresent() && target.isPresent() ? target.getAsDouble() - heard[p].getAsDouble() : Double.NaN;
        }
        double usual = median(wanted);
        for (int p = 0; p < moves.length; p++) {
            Phrases.Phrase phrase = phrases.get(p);
            if (!free[p] || heard[p].isEmpty()) {
                decisions.add(new Decision(What.LEVEL, phrase.from(), phrase.to(), 0, false, free[p] ? "nothing in it has a pitch" : "left alone, as asked"));
                continue;
            }
            boolean alone = Double.isNaN(wanted[p]);
            double by = alone ? usual : wanted[p];
            moves[p] = Math.max(-MOST_DB, Math.min(MOST_DB, by));
            decisions.add(new Decision(What.LEVEL, phrase.from(), phrase.to(), moves[p], true, String.format(Locale.ROOT, "from %.1f to %.1f dBFS%s%s", heard[p].getAsDouble(), heard[p].getAsDouble() + moves[p],
                    alone ? ", as most others: the lead does not sing there" : "", moves[p] == by ? "" : ", the most it may do")));
        }
    }

    private static double median(double[] x) {
        double[] sorted = Arrays.stream(x).filter(v -> !Double.isNaN(v)).sorted().toArray();
        return sorted.length == 0 ? 0 : sorted[sorted.length / 2];
    }

    GainCurve curve() {
        return new RideCurve(ear, phrases, moves, (int) (RAMP * ear.sound().rate())).curve();
    }

    /** RMS of what has a pitch in a phrase, in dBFS. */
    static OptionalDouble voice(Ear ear, Phrases.Phrase phrase) {
        int hop = ear.pitch().hop();
        double[][] x = new double[ear.sound().channels()][hop];
        double sum = 0;
        long count = 0;
        for (int f = (int) (phrase.from() / hop); (long) (f + 1) * hop <= Math.min(phrase.to(), ear.sound().frames()); f++) {
            if (!ear.pitch().voiced(f)) continue;
            ear.sound().read((long) f * hop, x, hop);
            for (double[] channel : x) for (double v : channel) sum += v * v;
            count += (long) x.length * hop;
        }
        return sum > 0 ? OptionalDouble.of(Decibels.ofPower(sum / count)) : OptionalDouble.empty();
    }
}
