package linnet.tidy;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import linnet.dsp.align.Cepstra;
import linnet.dsp.align.TimeWarp;
import linnet.hear.Ear;
import linnet.hear.Mark;

/**
 * A phrase of a part beside the lead: where the same is sung, and by how much later. The way through the spectra tells roughly when; where
 * both have a mark there, the marks tell when. A phrase in which too few marks of the vowels agree, or that sounds otherwise, has other
 * words. The limits were tried on doubles of two singers and on the demo's, against the same words and others.
 */
final class Match {
    /** Unlikeness of a whole phrase and of what is around a mark; the share of the vowels that must agree. */
    static final double UNLIKE = 0.64;
    private static final double UNLIKE_HERE = 0.75, ALIKE_HERE = 0.55, AGREE = 0.6;
    private static final double AGREE_SECONDS = 0.04, BESIDE_SECONDS = 0.075, AROUND_SECONDS = 0.2, SHORTEST_SECONDS = 0.25;
    /** Phrases are parted by more than this, so what they sing begins farther apart. */
    private static final double APART_SECONDS = 0.2;
    private static final double JUMP_SECONDS = 0.03, JUMP_SLOPE = 0.25, JUMPS = 0.12;
    private static final double VOWEL = 1, CONSONANT = 0.7, GUESS = 0.3, END = 0.7;

    /**
     * A place that both have.
     *
     * @param at in the part
     * @param late samples by which it is later than in the lead
     * @param weight how much it counts
     * @param marked whether both have a mark there
     * @param word what the list of the lead's marks has at her mark; mostly empty
     * @param into the same of the vowel that her mark leads into
     */
    record Anchor(long at, double late, double weight, boolean marked, String word, String into) {
        /** In the lead. */
        double there() {
            return at - late;
        }
    }

    private final Lead lead;
    private final double rate;
    private final TimeWarp warp;
    private final List<Anchor> anchors = new ArrayList<>();
    private String refused;

    /**
     * Where the lead may sing what a phrase does: the likeliest place, and others that it has within reach. There is always one, if only to say why it is none.
     *
     * @param later samples by which all of the part is taken to lie later than the lead
     * @param reach seconds by which the phrase may be off beside that
     */
    static List<Match> all(Phrases.Phrase phrase, Ear part, Cepstra cepstra, long later, Lead lead, double reach) {
        double rate = part.sound().rate();
        if (phrase.to() - phrase.from() < SHORTEST_SECONDS * rate) return List.of(new Match("too short to be sure of", rate, lead));
        long beside = (long) (BESIDE_SECONDS * rate), most = (long) (reach * rate);
        int hop = cepstra.hop();
        return TimeWarp.all(cepstra, cepstra.frame(phrase.from() - beside), cepstra.frame(phrase.to() + beside), Math.round((float) later / hop),
                lead.cepstra(), (int) (most / hop), (int) (APART_SECONDS * rate / hop))
                .stream().map(warp -> new Match(warp, phrase, part, later, lead, most)).toList();
    }

    private Match(String refused, double rate, Lead lead) {
        this.lead = lead;
        this.rate = rate;
        this.refused = refused;
        warp = null;
    }

    private Match(TimeWarp warp, Phrases.Phrase phrase, Ear part, long later, Lead lead, long most) {
        this.warp = warp;
        this.lead = lead;
        rate = part.sound().rate();
        long beside = (long) (BESIDE_SECONDS * rate);
        List<Mark> own = part.speech().all().stream().filter(m -> m.from() >= phrase.from() - beside && m.from() < phrase.to()).toList();
        int vowels = 0, agree = 0;
        for (Mark m : own) {
            if (m.kind() != Mark.Kind.VOWEL && !Lead.HARD.contains(m.kind()) || m.kind() == Mark.Kind.PLOSIVE) continue;
            boolean vowel = m.kind() == Mark.Kind.VOWEL;
            Optional<Anchor> anchor = anchor(m, vowel ? VOWEL : CONSONANT);
            if (vowel) vowels++;
            if (vowel && anchor.isPresent()) agree++;
            anchor.or(() -> vowel ? guess(m) : Optional.empty()).ifPresent(anchors::add);
        }
        anchors.sort(Comparator.comparingLong(Anchor::at));
        if (vowels == 0) refused = "no vowel in it is sure";
        else if (lead.phrase(warp.at(own.get(0).from()), AROUND_SECONDS * rate) < 0 && agree == 0) refused = "the lead does not sing there";
        else if (warp.unlikeness() > UNLIKE || agree < AGREE * vowels) refused = "other words than the lead's, or too far from them";
        else if (jumps()) refused = "other words than the lead's: what is alike lies now earlier, now later";
        else {
            anchors.removeIf(a -> Math.abs(a.late - later) > most);
            List<Anchor> marked = anchors.stream().filter(Anchor::marked).toList();
            if (marked.isEmpty()) anchors.clear();
            anchors.removeIf(a -> !a.marked && Math.abs(a.late - late(marked, a.at)) > AGREE_SECONDS * rate);
        }
        if (refused != null) anchors.clear();
        if (refused == null && anchors.isEmpty()) refused = "too far from the lead";
    }

    /** Whether it goes to and fro against the lead as nobody does who sings the same, but the way through other words. */
    private boolean jumps() {
        int jumps = 0;
        for (int k = 1; k < anchors.size(); k++) {
            if (jumps(anchors.get(k - 1), anchors.get(k))) jumps++;
        }
        return jumps > JUMPS * anchors.size();
    }

    /** How late a place is by those around it: on a straight line from the one before to the one after. */
    private static double late(List<Anchor> marked, long at) {
        Anchor before = marked.get(0), after = marked.get(marked.size() - 1);
        for (Anchor m : marked) {
            if (m.at <= at) before = m;
            else if (m.at < after.at) after = m;
        }
        return before.late + (at <= before.at ? 0 : at >= after.at ? after.late - before.late
                : (after.late - before.late) * (at - before.at) / (after.at - before.at));
    }

    private boolean jumps(Anchor a, Anchor b) {
        return Math.abs(b.late - a.late) > JUMP_SECONDS * rate + JUMP_SLOPE * Math.abs(b.at - a.at);
    }

    /** Where both have this mark. */
    private Optional<Anchor> anchor(Mark m, double weight) {
        if (unlike(m.from()) > UNLIKE_HERE) return Optional.empty();
        double there = warp.at(m.from());
        return lead.marks().of(m.kind()).stream().min(Comparator.comparingDouble(o -> Math.abs(o.from() - there)))
                .filter(o -> Math.abs(o.from() - there) <= AGREE_SECONDS * rate)
                .map(o -> new Anchor(m.from(), m.from() - o.from(), weight * Math.min(m.confidence(), o.confidence()), true, o.word(), lead.into(o)));
    }

    private Optional<Anchor> guess(Mark m) {
        return unlike(m.from()) > ALIKE_HERE ? Optional.empty()
                : Optional.of(new Anchor(m.from(), m.from() - warp.at(m.from()), GUESS * m.confidence(), false, "", ""));
    }

    private double unlike(long at) {
        long around = (long) (AROUND_SECONDS * rate);
        return warp.unlikeness(at - around, at + around);
    }

    /** How unlike the lead it is there. */
    double unlikeness() {
        return warp.unlikeness();
    }

    /** Samples by which it is later than the lead, for half of its places by more. */
    double late() {
        double[] late = anchors.stream().mapToDouble(Anchor::late).sorted().toArray();
        return late[late.length / 2];
    }

    /** Whether another begins behind the end of this one in the lead. */
    boolean isBefore(Match other) {
        return anchors.get(anchors.size() - 1).there() < other.anchors.get(0).there();
    }

    /** Whether the same is sung around a place. */
    boolean agrees(long at) {
        return unlike(at) <= UNLIKE_HERE;
    }

    /** Why it is left alone, if so. */
    Optional<String> refused() {
        return Optional.ofNullable(refused);
    }

    /** Leaves alone what it found. */
    void refuse(String why) {
        if (refused == null) refused = why;
        anchors.clear();
    }

    /** In order of time. */
    List<Anchor> anchors() {
        return anchors;
    }

    /** Where a place of the part is in the lead. */
    double place(long at) {
        return warp.at(at);
    }

    /**
     * Where the lead is over that sings what this phrase ends with; less than 0 where it sings on.
     *
     * @param next the match of the phrase that comes next, null where none does
     */
    double leadEnd(Match next) {
        Anchor last = anchors.get(anchors.size() - 1);
        double there = last.there();
        int p = lead.phrase(there, 0);
        if (p < 0 || next != null && next.refused == null && lead.phrase(next.anchors.get(0).there(), 0) == p) return -1;
        return lead.end(p);
    }

    /** Adds the end of the phrase as a place. */
    void addEnd(long at, double leadEnd) {
        anchors.add(new Anchor(at, at - leadEnd, END, true, "", ""));
    }
}
