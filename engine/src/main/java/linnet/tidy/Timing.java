package linnet.tidy;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.IntStream;
import linnet.dsp.align.Cepstra;
import linnet.dsp.pitch.Periods;
import linnet.dsp.repair.Span;
import linnet.hear.Ear;
import linnet.hear.Mark;
import linnet.tidy.Decision.What;
import linnet.tidy.Treatment.Join;

/**
 * When each phrase of a part is sung after it was tightened. A phrase is moved in the pause before it; within it vowels are made longer or
 * shorter by whole periods, and what lies between them, every consonant, is moved whole. A pause that gets longer than it was is filled
 * with the room; one that would get shorter than a crossfade holds the phrase back.
 */
final class Timing {
    private static final long FAR = Long.MAX_VALUE / 4;
    private static final int TRIES = 3;
    private static final double CROSS_SECONDS = 0.02, SHORTEST_CROSS_SECONDS = 0.004, SLACK_SECONDS = 0.02;

    private final Ear ear;
    private final double rate;
    private final List<Phrases.Phrase> phrases;
    private final Cepstra cepstra;
    private final Match[] matches;
    private final double[] leadEnds;
    private final long[] ends, shiftAtEnd;
    private long[] latest, earliest;
    /** What keeps a phrase where it is: that it would be farther off if it was moved, or is the lead's own recording; null where nothing does. */
    private final Decision[] held;
    private final List<long[]> keptBreaths = new ArrayList<>();
    private final List<Span> breathless;
    private final boolean room;
    private final List<Join> joins = new ArrayList<>();
    private final List<Decision> decisions;

    /**
     * @param free which phrases may be touched
     * @param cepstra of the part; null where nothing follows the lead
     * @param breathless where breaths give way to the room
     * @param room whether one is heard that could fill a pause
     */
    Timing(Ear ear, List<Phrases.Phrase> phrases, boolean[] free, Cepstra cepstra, Lead lead, Aims aims, List<Span> breathless, boolean room,
            List<Decision> decisions) {
        this.ear = ear;
        this.phrases = phrases;
        this.cepstra = cepstra;
        this.breathless = breathless;
        this.room = room;
        this.decisions = decisions;
        rate = ear.sound().rate();
        int n = phrases.size();
        leadEnds = new double[n];
        Arrays.fill(leadEnds, -1);
        ends = new long[n];
        shiftAtEnd = new long[n];
        held = new Decision[n];
        for (long[] b : BreathSpans.heard(ear)) if (breathless.stream().noneMatch(s -> s.from() < b[1] && b[0] < s.to())) keptBreaths.add(b);
        matches = cepstra == null ? new Match[n] : Places.of(phrases, free, ear, cepstra, 0, lead, aims.reach());
        if (cepstra == null) return;
        for (int p = 0; p < n; p++) ends[p] = Lead.end(cepstra, phrases, p);
        Slip.find(ear, phrases, cepstra, lead, aims.reach(), matches).ifPresent(s -> decisions.add(s.decision(phrases, rate)));
        for (int p = 0; p < n; p++) if (follows(p)) leadEnds[p] = matches[p].leadEnd(p + 1 < n ? matches[p + 1] : null);
        Copies copies = new Copies(ear.sound(), phrases, matches, lead);
        copies.decision().ifPresent(decisions::add);
        Arrays.setAll(held, p -> copies.held(p) == null ? null : left(p, copies.held(p)));
        if (aims.timing().isPresent()) tighten(aims);
    }

    private boolean follows(int p) {
        return matches[p] != null && matches[p].refused().isEmpty();
    }

    private boolean moves(int p) {
        return follows(p) && held[p] == null;
    }

    private void tighten(Aims aims) {
        double tolerance = aims.timing().orElseThrow() * rate;
        for (int p = 0; p < phrases.size(); p++) {
            if (!follows(p)) continue;
            double late = leadEnds[p] < 0 ? 0 : ends[p] - leadEnds[p];
            List<Match.Anchor> anchors = matches[p].anchors();
            // What is over too late is faded; what is over too early can only be held a little longer, and breaks off where it ends far from the lead's.
            boolean near = leadEnds[p] >= 0 && Math.abs(late) <= aims.reach() * rate;
            if (near && (late < 0 || !aims.ends()) && ends[p] > anchors.get(anchors.size() - 1).at()) matches[p].addEnd(ends[p], leadEnds[p]);
        }
        Vowels vowels = new Vowels(ear, cepstra, phrases);
        Periods periods = new Periods(ear.sound(), ear.pitch(), aims.stretch());
        List<Decision> timing = new ArrayList<>();
        // Each time one more is held where it is, and those around it have to get along with that.
        while (!moveAll(tolerance, aims.stretch(), vowels, periods, timing)) {
            joins.clear();
            timing.clear();
        }
        decisions.addAll(timing);
    }

    /** Moves all phrases; false where one would be farther off than it was, which is then held. */
    private boolean moveAll(double tolerance, double stretch, Vowels vowels, Periods periods, List<Decision> timing) {
        bounds();
        long shift = 0;
        for (int p = 0; p < phrases.size(); p++) {
            Phrases.Phrase phrase = phrases.get(p);
            if (moves(p)) {
                shift = move(p, tolerance, stretch, vowels, periods, shift, timing);
                if (held[p] != null) return false;
                continue;
            }
            timing.add(held[p] != null ? held[p] : left(p, matches[p] == null ? phrase.kept() ? "kept" : "left alone, as asked"
                    : matches[p].refused().orElseThrow()));
            pause(p, shift, 0);
            shift = 0;
            shiftAtEnd[p] = 0;
        }
        return true;
    }

    private Decision left(int p, String why) {
        return new Decision(What.TIMING, phrases.get(p).from(), phrases.get(p).to(), 0, false, why);
    }

    /** How late and how early the end of each phrase may be, so that there is a pause before what comes after and is not moved. */
    private void bounds() {
        int n = phrases.size();
        latest = new long[n];
        earliest = new long[n];
        for (int p = n - 1; p >= 0; p--) {
            latest[p] = p == n - 1 ? FAR : slack(p + 1) + (moves(p + 1) ? latest[p + 1] : 0);
            earliest[p] = p == n - 1 || room ? -FAR : -slack(p + 1) + (moves(p + 1) ? earliest[p + 1] : 0);
        }
    }

    /** Moves one phrase, and returns by how much its end went; or finds that it has to be held. */
    private long move(int p, double tolerance, double stretch, Vowels vowels, Periods periods, long from, List<Decision> timing) {
        List<Match.Anchor> anchors = matches[p].anchors();
        double[] free = new double[anchors.size()];
        for (int k = 0; k + 1 < free.length; k++) {
            for (long[] v : vowels.between(anchors.get(k).at(), anchors.get(k + 1).at())) free[k] += (v[1] - v[0]) * stretch;
        }
        double[] hoped = free.clone();
        Placed placed = place(p, tolerance, free, vowels, periods, from);
        for (int k = 0; k < TRIES && (placed.end() < earliest[p] || placed.end() > latest[p]); k++) {
            // Some vowels gave less than was hoped. Now that it is known, it begins so that it ends where it may.
            joins.subList(placed.before, joins.size()).clear();
            placed = place(p, tolerance, free, vowels, periods, from);
        }
        long[] still = new long[anchors.size()];
        double off = rest(anchors, still), rest = rest(anchors, placed.shifts);
        Decision.Place before = farthest(anchors, still);
        Phrases.Phrase phrase = phrases.get(p);
        if (Math.round(ms(rest)) > Math.round(ms(Math.max(off, tolerance)))) {
            held[p] = new Decision(What.TIMING, phrase.from(), phrase.to(), 0, false, "", Optional.of(new Decision.Off(before, before, 0, String.format(
                    Locale.ROOT, ", and left there: moved as far as the lines beside it let it, it would be off by %.0f ms", ms(rest)), sung(anchors, still))));
        }
        shiftAtEnd[p] = placed.end();
        boolean moved = placed.begin() != 0 || placed.stretched > 0;
        String words = !moved ? "" : String.format(Locale.ROOT, "moved by %+.0f ms%s", ms(placed.begin()), placed.stretched == 0 ? ""
                : String.format(Locale.ROOT, " at its beginning and %+.0f ms at its end, by %d joins in vowels", ms(placed.end()), placed.stretched));
        timing.add(new Decision(What.TIMING, phrase.from(), phrase.to(), ms(placed.begin()), moved, words, Optional.of(new Decision.Off(before,
                farthest(anchors, placed.shifts), ms(placed.end()), isOver(rest, tolerance) ? ": " + why(p, tolerance, stretch, hoped, free, from) : "",
                sung(anchors, placed.shifts)))));
        return placed.end();
    }

    /** Where a phrase is farthest off once its places are so much later, as it lies then. */
    private Decision.Place farthest(List<Match.Anchor> anchors, long[] shifts) {
        int most = 0;
        for (int k = 1; k < shifts.length; k++) {
            if (Math.abs(anchors.get(k).late() + shifts[k]) > Math.abs(anchors.get(most).late() + shifts[most])) most = k;
        }
        return place(anchors.get(most), shifts[most]);
    }

    /** @param shift by how much later it is */
    private Decision.Place place(Match.Anchor a, long shift) {
        return new Decision.Place(a.at() + shift, ms(a.late() + shift), a.word().isEmpty() ? a.into() : a.word());
    }

    private List<Decision.Sung> sung(List<Match.Anchor> anchors, long[] shifts) {
        return IntStream.range(0, shifts.length).filter(k -> !anchors.get(k).word().isEmpty())
                .mapToObj(k -> new Decision.Sung(place(anchors.get(k), 0), ms(anchors.get(k).late() + shifts[k]))).toList();
    }

    /** By as much as is told, in whole ms. */
    private boolean isOver(double off, double tolerance) {
        return Math.round(ms(off)) > Math.round(ms(tolerance));
    }

    /**
     * Why a phrase stays farther off than was asked: what would have to be otherwise for it to come as near, or else nearest.
     *
     * @param stretch that was allowed
     * @param hoped samples that the vowels between its places may give or take by that
     * @param free what they were found to give
     */
    private String why(int p, double tolerance, double stretch, double[] hoped, double[] free, long before) {
        List<Match.Anchor> anchors = matches[p].anchors();
        double[] any = new double[free.length], largest = Arrays.stream(hoped).map(h -> h * Aims.LARGEST_STRETCH / stretch).toArray();
        Arrays.fill(any, Integer.MAX_VALUE / 2);
        double alone = rest(anchors, new Shifts(rate, tolerance, anchors, free).find(-FAR, FAR, -FAR, FAR)), beside = bound(p, tolerance, free, before),
                whole = bound(p, tolerance, hoped, before), stretched = bound(p, tolerance, largest, before), least = bound(p, tolerance, any, before);
        if (isOver(beside, alone) && (!isOver(alone, tolerance) || isOver(least, alone))) return "the lines beside it leave it no more room";
        if (!isOver(whole, tolerance)) return "its vowels are made longer or shorter by whole periods, where those are alike, and give no more";
        if (isOver(whole, stretched)) return "a larger 'stretch' of its vowels would bring it nearer";
        if (isOver(whole, least)) return "no 'stretch' of its vowels that is allowed would bring it nearer";
        return "to come nearer, more of its vowels would have to change than the little that is left is worth";
    }

    /** How far off a phrase stays between the lines beside it, where its vowels give so much. */
    private double bound(int p, double tolerance, double[] free, long before) {
        List<Match.Anchor> anchors = matches[p].anchors();
        return rest(anchors, new Shifts(rate, tolerance, anchors, free).find(before - slack(p), room ? FAR : before + slack(p), earliest[p], latest[p]));
    }

    /** How far off its farthest place is once they are moved. */
    private static double rest(List<Match.Anchor> anchors, long[] shifts) {
        double rest = 0;
        for (int k = 0; k < shifts.length; k++) rest = Math.max(rest, Math.abs(anchors.get(k).late() + shifts[k]));
        return rest;
    }

    /**
     * A phrase that was moved.
     *
     * @param before joins that there were before
     * @param stretched joins in its vowels
     * @param shifts by how much later each of its places is
     */
    private record Placed(int before, int stretched, long[] shifts) {
        long begin() {
            return shifts[0];
        }

        long end() {
            return shifts[shifts.length - 1];
        }
    }

    /**
     * @param free samples by which what lies between a place and the next can be longer or shorter; where that turns out to be less, it is less from then on
     */
    private Placed place(int p, double tolerance, double[] free, Vowels vowels, Periods periods, long before) {
        List<Match.Anchor> anchors = matches[p].anchors();
        int first = joins.size(), stretched = 0;
        long[] wanted = new Shifts(rate, tolerance, anchors, free).find(before - slack(p), room ? FAR : before + slack(p), earliest[p], latest[p]);
        long now = wanted[0];
        pause(p, before, now);
        long[] shifts = new long[wanted.length];
        for (int k = 0; k < wanted.length; k++) {
            if (k > 0) {
                int count = joins.size();
                long was = now;
                now = stretch(vowels.between(anchors.get(k - 1).at(), anchors.get(k).at()), wanted[k] - was, was, periods);
                stretched += joins.size() - count;
                if (Math.abs(now - was) < Math.abs(wanted[k] - was)) free[k - 1] = Math.abs(now - was);
            }
            shifts[k] = now;
        }
        return new Placed(first, stretched, shifts);
    }

    private double ms(double samples) {
        return samples / rate * 1000;
    }

    /** Makes vowels longer by so many samples in all, or shorter, and returns by how much what comes after them goes. */
    private long stretch(List<long[]> vowels, long by, long shift, Periods periods) {
        long now = shift;
        for (Periods.SelfJoin j : periods.joins(vowels, by)) {
            long at = by > 0 ? j.at() + j.lag() + now : j.at() + now, next = by > 0 ? now + j.lag() : now - j.lag();
            if (at - j.width() / 2 < end()) continue;
            now = next;
            joins.add(new Join(at, j.width(), now, false, j.alike()));
        }
        return now;
    }

    /** The first sample of the result that another crossfade may touch. */
    private long end() {
        if (joins.isEmpty()) return 0;
        Join last = joins.get(joins.size() - 1);
        return last.at() + last.width() - last.width() / 2;
    }

    /** Where the pause before a phrase begins. */
    private long pauseFrom(int p) {
        return p == 0 ? 0 : phrases.get(p - 1).to();
    }

    /** Where it ends: the breath before a phrase goes with it. */
    private long pauseTo(int p) {
        long from = pauseFrom(p), to = phrases.get(p).from();
        for (long[] b : keptBreaths) if (b[0] >= from && b[0] < to) to = b[0];
        return Math.max(from, to);
    }

    /** By how much the pause before a phrase can be shorter. */
    private long slack(int p) {
        return Math.max(0, pauseTo(p) - pauseFrom(p) - (long) (SHORTEST_CROSS_SECONDS * rate));
    }

    /** In the pause before a phrase, goes from one shift to another. */
    private void pause(int p, long before, long after) {
        if (before == after) return;
        long from = pauseFrom(p), to = pauseTo(p), there = to - from, by = after - before;
        int cross = (int) (CROSS_SECONDS * rate);
        int shortest = (int) (SHORTEST_CROSS_SECONDS * rate);
        if (there - Math.abs(by) >= shortest || by < 0 || !room) {
            // Where what it was cannot hold a crossfade, that reaches a little into what is beside it.
            long first = from + Math.max(before, after), last = to + Math.min(before, after);
            int width = (int) Math.max(shortest, Math.min(cross, last - first));
            joins.add(new Join(Math.max((first + last) / 2, end() + width / 2), width, after, false, 0));
            return;
        }
        // It grows by more than there is of it.
        int width = (int) Math.min(cross, (there + by) / 2);
        joins.add(new Join(from + before + width / 2, width, 0, true, 0));
        joins.add(new Join(to + after - width + width / 2, width, after, false, 0));
    }

    /** Where it is joined to itself, in order of time. */
    List<Join> joins() {
        return joins;
    }

    /** Null where it is not matched, because it is left alone. */
    Match match(int p) {
        return matches[p];
    }

    /** Where the lead is over; less than 0 where it sings on. */
    double leadEnd(int p) {
        return leadEnds[p];
    }

    /** Where a phrase is over, in the part. */
    long end(int p) {
        return ends[p];
    }

    /** By how much later that is now. */
    long shiftAtEnd(int p) {
        return shiftAtEnd[p];
    }

    /** Where the last vowel of a phrase begins. */
    long lastWord(int p) {
        Phrases.Phrase phrase = phrases.get(p);
        return ear.speech().of(Mark.Kind.VOWEL).stream().mapToLong(Mark::from).filter(v -> v >= phrase.from() && v < phrase.to()).max().orElse(phrase.from());
    }

    /** Breaths that stay: pairs of the first sample and the one after the last. */
    List<long[]> keptBreaths() {
        return keptBreaths;
    }

    /** The phrase that a mark belongs to; -1 where it belongs to none. */
    int phrase(Mark m) {
        for (int p = 0; p < phrases.size(); p++) {
            if (m.meets((long) (phrases.get(p).from() - SLACK_SECONDS * rate), phrases.get(p).to())) return p;
        }
        return -1;
    }
}
