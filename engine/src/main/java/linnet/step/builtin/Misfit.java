package linnet.step.builtin;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.IntStream;
import linnet.dsp.pitch.Semitones;
import linnet.hear.SungPitches;
import linnet.hear.Wanted;
import linnet.setting.Key;
import linnet.setting.NoteName;
import linnet.setting.Unit;

/** What somebody should know who tunes a take by a key or a pitch that it is not sung in. */
final class Misfit {
    /** Less of the time outside are blue notes and passing notes; and more of it are a mistake, whatever else fits. Judgement. */
    private static final double OUTSIDE = 0.25, MOST = 0.5;
    /** A key that leaves out so much less fits clearly better; those that leave out hardly more fit as well. Judgement. */
    private static final double BETTER = 1 / 3.0, AS_WELL = 0.05;
    private static final int SHOWN = 3;
    /** In cents: nearer nobody hears it in a melody. Listeners take about 25 cents (Music and Science, 2018, doi 10.1177/2059204318784582). */
    private static final double AUDIBLE = 20;

    /** In semitones: nobody sings farther from a note that is meant. Judgement. */
    private static final double NEAR_OCTAVE = 1;
    private static final int MOST_SLIPS = 5;

    private Misfit() {}

    /** A key and what of the time lies outside it. */
    private record Fit(Key key, double outside, double triad) {
        static Fit of(int tonic, List<Double> shares) {
            Key key = Key.of(tonic, Key.Mode.MAJOR);
            return new Fit(key, left(key.notes(), shares), shares.get(tonic) + shares.get((tonic + 4) % 12) + shares.get((tonic + 7) % 12));
        }

        String words() {
            return key.words() + " (" + Key.of((key.tonic() + 9) % 12, Key.Mode.MINOR).words() + ")";
        }
    }

    private static double left(int allowed, List<Double> shares) {
        return IntStream.range(0, shares.size()).filter(k -> (allowed >> k & 1) == 0).mapToDouble(shares::get).sum();
    }

    /**
     * Where a key leaves out what is sung.
     *
     * @param called the key, in a sentence
     * @param allowed bit k for the note k semitones above C
     */
    static Optional<String> key(SungPitches sung, String called, int allowed) {
        List<Double> shares = sung.shares().value().orElse(List.of());
        double outside = left(allowed, shares);
        if (outside < OUTSIDE) return Optional.empty();
        List<Fit> fits = new ArrayList<>(IntStream.range(0, 12).mapToObj(k -> Fit.of(k, shares)).toList());
        double least = fits.stream().mapToDouble(Fit::outside).min().orElseThrow();
        boolean better = least <= BETTER * outside;
        if (!better && outside < MOST) return Optional.empty();
        int most = IntStream.range(0, 12).filter(k -> (allowed >> k & 1) == 0).boxed().max(Comparator.comparingDouble(shares::get)).orElseThrow();
        String wrong = String.format(Locale.ROOT, "%s leaves out %s of the time that notes are sung, most of it %s, and moves them to other notes; ", called,
                percent(outside), NoteName.FORM.write(most));
        if (!better) return Optional.of(wrong + "no major or minor key leaves out less than " + percent(least) + ": write no key, for the nearest semitone");
        // Of those that fit alike it is rather the one whose tonic triad is sung longest.
        fits.removeIf(f -> f.outside > least + AS_WELL);
        fits.sort(Comparator.comparingDouble(Fit::triad).reversed());
        List<String> known = fits.stream().limit(SHOWN).map(f -> f.words() + " " + percent(f.outside)).toList();
        return Optional.of(wrong + String.join(", ", known) + ": write the one it is in, as in 'key: " + fits.get(0).key.words() + "'");
    }

    private static String percent(double share) {
        return Unit.PERCENT.format(100 * share, 0);
    }

    /** Where all that is sung lies off the pitch that it is tuned to, as one. Nothing is known here of other parts of a song, which may not lie so. */
    static Optional<String> reference(SungPitches sung, double reference) {
        return sung.over().value().filter(cents -> Math.abs(cents) >= AUDIBLE).map(cents -> {
            String a = at(reference, cents), other = Math.abs(cents) <= SungPitches.TELLS ? "" : " or " + at(reference, cents - 100 * Math.signum(cents));
            return String.format(Locale.ROOT,
                    "all that is sung lies %s %s A at %s, as one, and is moved by that, as is right where the singer was %s; where this part was recorded at "
                    + "another pitch, write 'reference: %s'%s in its 'tune'; 'pitch: %s'%s in a song moves all of its parts, and is right only where the "
                    + "others lie so too",
                    Unit.CENTS.format(Math.abs(cents), 0), cents > 0 ? "over" : "under", Unit.HZ.format(reference), cents > 0 ? "sharp" : "flat", a, other, a,
                    other);
        });
    }

    /** Where the list of notes wants a note so near to one or more octaves from what is sung that this is rather a slip than meant. */
    static Optional<String> octave(List<Wanted> wanted, double rate, double reference) {
        List<Wanted> slips = wanted.stream().filter(w -> w.why() == Wanted.Why.TOLD && w.pitch().isPresent() && isOctaves(w.cents() / 100)).toList();
        if (slips.isEmpty()) return Optional.empty();
        List<String> known = slips.stream().limit(MOST_SLIPS).map(w -> octave(w, rate, Semitones.of(reference) - 69)).toList();
        String more = slips.size() > MOST_SLIPS ? " and " + (slips.size() - MOST_SLIPS) + " more" : "";
        return Optional.of("lies octaves from what is sung in " + (slips.size() == 1 ? "1 note" : slips.size() + " notes") + " of the list: "
                + String.join("; ", known) + more + "; leave it where the leap is meant");
    }

    private static boolean isOctaves(double semitones) {
        long octaves = Math.round(semitones / 12);
        return octaves != 0 && Math.abs(semitones - 12 * octaves) <= NEAR_OCTAVE;
    }

    private static String octave(Wanted w, double rate, double offset) {
        double wanted = w.pitch().getAsDouble() - offset;
        long off = Math.round(w.cents() / 1200);
        String octaves = Math.abs(off) == 1 ? "an octave" : Math.abs(off) + " octaves";
        return String.format(Locale.ROOT, "at %s %s where %s is sung, write it %s %s", Unit.SECONDS.format(w.note().from() / rate),
                NoteName.of((int) Math.round(wanted), false),
                NoteName.of((int) Math.round(w.note().pitch() - offset), false), octaves, off > 0 ? "lower" : "higher");
    }

    private static String at(double reference, double cents) {
        return Unit.HZ.format(Semitones.hz(Semitones.of(reference) + cents / 100), 1);
    }
}
