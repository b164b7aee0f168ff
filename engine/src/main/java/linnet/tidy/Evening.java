package linnet.tidy;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import java.util.stream.IntStream;
import linnet.dsp.Decibels;
import linnet.dsp.GainCurve;
import linnet.hear.Ear;
import linnet.tidy.Decision.What;

/**
 * Evens the level of the phrases, each as a whole and however short the pause beside it: beside the lead one with its words to what the lead has in that very
 * place, so that a line that begins softly still does; one with other words goes along with the rest, and little farther. Breaths and pauses never rise.
 */
final class Evening {
    /** How far a phrase is moved at most, in dB, and the ramp in the pause beside it, in seconds. */
    private static final double MOST_DB = 12, RAMP = 0.04;

    private final Ear ear;
    private final List<Phrases.Phrase> phrases;
    private final double[] moves;
    private final long[] overs;
    private final boolean[] alone;

    /**
     * Decides.
     *
     * @param timed the phrases as they are moved in time
     * @param free which of them may be touched
     * @param faded where one of them is faded into the room before it is over; -1 where it is not
     */
    Evening(Ear ear, List<Phrases.Phrase> timed, boolean[] free, Timing timing, long[] faded, Lead lead, Aims.Level level, List<Decision> decisions) {
        this.ear = ear;
        phrases = new ArrayList<>();
        List<Integer> within = new ArrayList<>();
        for (Phrases.Phrase phrase : Phrases.of(ear)) {
            int p = 0;
            while (timed.get(p).to() < phrase.to()) p++;
            // What begins where only the room is left is gone.
            if (faded[p] >= 0 && phrase.from() >= faded[p]) continue;
            phrases.add(phrase);
            within.add(p);
        }
        overs = new long[phrases.size()];
        for (int i = 0; i < overs.length; i++) overs[i] = i + 1 < overs.length && within.get(i + 1).equals(within.get(i)) ? -1 : faded[within.get(i)];
        moves = new double[phrases.size()];
        alone = new boolean[phrases.size()];
        double[] power = power(ear, phrases), wanted = new double[moves.length];
        boolean[] alike = new boolean[moves.length];
        OptionalDouble[] heard = new OptionalDouble[moves.length];
        for (int p = 0; p < moves.length; p++) {
            Phrases.Phrase phrase = phrases.get(p);
            Match match = timing.match(within.get(p));
            alike[p] = level instanceof Aims.Level.At || match != null && match.refused().isEmpty();
            heard[p] = level(power, ear.pitch().hop(), phrase.from(), phrase.to());
            OptionalDouble target = level instanceof Aims.Level.At at ? OptionalDouble.of(at.dbfs())
                    : alike[p] ? lead.level(Math.round(match.place(phrase.from())), Math.round(match.place(phrase.to())))
                            : lead.levelOfLine(phrase.from(), phrase.to());
            wanted[p] = heard[p].isPresent() && target.isPresent() ? target.getAsDouble() - heard[p].getAsDouble() : Double.NaN;
        }
        double usual = usual(wanted, alike);
        double most = level instanceof Aims.Level.Lead l ? l.otherWords() : 0;
        for (int p = 0; p < moves.length; p++) {
            Phrases.Phrase phrase = phrases.get(p);
            boolean touched = free[within.get(p)] && !phrase.kept();
            alone[p] = !touched;
            if (!touched || heard[p].isEmpty()) {
                decisions.add(new Decision(What.LEVEL, phrase.from(), phrase.to(), 0, false, touched ? "nothing in it has a pitch" : "left alone, as asked"));
                continue;
            }
            boolean alone = Double.isNaN(wanted[p]);
            double by = alone ? usual : alike[p] ? wanted[p] : Math.max(usual - most, Math.min(usual + most, wanted[p]));
            moves[p] = Math.max(-MOST_DB, Math.min(MOST_DB, by));
            decisions.add(new Decision(What.LEVEL, phrase.from(), phrase.to(), moves[p], true,
                    String.format(Locale.ROOT, "from %.1f to %.1f dBFS%s%s", heard[p].getAsDouble(), heard[p].getAsDouble() + moves[p],
                    alone ? ", as most others: the lead does not sing there" : by != wanted[p]
                            ? String.format(Locale.ROOT, ", %+.1f dB beside most others: its words are not the lead's", by - usual) : "",
                            moves[p] == by ? "" : ", the most it may do")));
        }
    }

    /** What most phrases with the words of the lead are moved by; where there is none, what most phrases would be. */
    private static double usual(double[] wanted, boolean[] alike) {
        double[] same = IntStream.range(0, wanted.length).filter(p -> alike[p] && !Double.isNaN(wanted[p])).mapToDouble(p -> wanted[p]).toArray();
        return median(same.length > 0 ? same : wanted);
    }

    private static double median(double[] x) {
        double[] sorted = Arrays.stream(x).filter(v -> !Double.isNaN(v)).sorted().toArray();
        return sorted.length == 0 ? 0 : sorted[sorted.length / 2];
    }

    GainCurve curve() {
        return new RideCurve(ear, phrases, moves, (int) (RAMP * ear.sound().rate()), overs, alone).curve();
    }

    /** Power of each frame of 10 ms of the phrases that has a pitch; 0 elsewhere. */
    static double[] power(Ear ear, List<Phrases.Phrase> phrases) {
        int hop = ear.pitch().hop();
        double[] power = new double[(int) (ear.sound().frames() / hop)];
        double[][] x = new double[ear.sound().channels()][hop];
        for (Phrases.Phrase p : phrases) {
            for (int f = (int) (p.from() / hop); (long) (f + 1) * hop <= Math.min(p.to(), ear.sound().frames()); f++) {
                if (!ear.pitch().voiced(f)) continue;
                ear.sound().read((long) f * hop, x, hop);
                double sum = 0;
                for (double[] channel : x) for (double v : channel) sum += v * v;
                power[f] = sum / (x.length * hop);
            }
        }
        return power;
    }

    /** RMS of what has a pitch between two samples, in dBFS; empty where nothing has. */
    static OptionalDouble level(double[] power, int hop, long from, long to) {
        double sum = 0;
        int count = 0;
        for (int f = (int) Math.max(0, from / hop); f < power.length && (long) (f + 1) * hop <= to; f++) {
            if (power[f] == 0) continue;
            sum += power[f];
            count++;
        }
        return count > 0 ? OptionalDouble.of(Decibels.ofPower(sum / count)) : OptionalDouble.empty();
    }
}
