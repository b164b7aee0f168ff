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
    private static final double UNLIKE = 0.64, UNLIKE_HERE = 0.75, ALIKE_HERE = 0.55, AGREE = 0.6;
    private static final double AGREE_SECONDS = 0.04, BESIDE_SECONDS = 0.075, AROUND_SECONDS = 0.2, SHORTEST_SECONDS = 0.25;
    private static final double JUMP_SECONDS = 0.03, JUMP_SLOPE = 0.25, JUMPS = 0.12;
    private static final double VOWEL = 1, CONSONANT = 0.7, GUESS = 0.3, END = 0.7;

    /**
     * A place that both have.
     *
     * @param at in the part
     * @param late samples by which it is later than in the lead
     * @param weight how much it counts
     */
    record Anchor(long at, double late, double weight) {}

    private final Lead lead;
    private final double rate;
    private final TimeWarp warp;
    private final List<Anchor> anchors = new ArrayList<>();
    private String refused;

    /** @param reach seconds by which it may be off */
    Match(Phrases.Phrase phrase, Ear part, Cepstra cepstra, Lead lead, double reach) {
        this(phrase, part, cepstra, 0, lead, reach);
    }

    /** @param later samples by which all of the part is taken to lie later than the lead; {@code reach} is beside that */
    Match(Phrases.Phrase phrase, Ear part, Cepstra cepstra, long later, Lead lead, double reach) {
        this.lead = lead;
        rate = part.sound().rate();
        long beside = (long) (BESIDE_SECONDS * rate), most = (long) (reach * rate);
        if (phrase.to() - phrase.from() < SHORTEST_SECONDS * rate) {
            warp = null;
            refused = "too short to be sure of";
            return;
        }
        warp = new TimeWarp(cepstra, cepstra.frame(phrase.from() - beside), cepstra.frame(phrase.to() + beside), Math.round((float) later / cepstra.hop()), lead.cepstra(), (int) (most / cepstra.hop()));
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
        else anchors.removeIf(a -> Math.abs(a.late - later) > most);
        if (refused != null) anchors.clear();
        if (refused == null && anchors.isEmpty()) refused = "too far from the lead";
    }

    /** Whether it goes to and fro against the lead as nobody does who sings the same, but the way through other words. */
    private boolean jumps() {
        int jumps = 0;
        for (int k = 1; k < anchors.size(); k++) {
            Anchor a = anchors.get(k - 1), b = anchors.get(k);
            if (Math.abs(b.late - a.late) > JUMP_SECONDS * rate + JUMP_SLOPE * (b.at - a.at)) jumps++;
        }
        return jumps > JUMPS * anchors.size();
    }

    /** Where both have this mark. */
    private Optional<Anchor> anchor(Mark m, double weight) {
        if (unlike(m.from()) > UNLIKE_HERE) return Optional.empty();
        double there = warp.at(m.from());
        return lead.marks().of(m.kind()).stream().min(Comparator.comparingDouble(o -> Math.abs(o.from() - there)))
                .filter(o -> Math.abs(o.from() - there) <= AGREE_SECONDS * rate)
                .map(o -> new Anchor(m.from(), m.from() - o.from(), weight * Math.min(m.confidence(), o.confidence())));
    }

    private Optional<Anchor> guess(Mark m) {
        return unlike(m.from()) > ALIKE_HERE ? Optional.empty() : Optional.of(new Anchor(m.from(), m.from() - warp.at(m.from()), GUESS * m.confidence()));
    }

    private double unlike(long at) {
        long around = (long) (AROUND_SECONDS * rate);
        return warp.unlikeness(at - around, at + around);
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
        double there = last.at - last.late;
        int p = lead.phrase(there, 0);
        if (p < 0 || next != null && next.refused == null && lead.phrase(next.anchors.get(0).at - next.anchors.get(0).late, 0) == p) return -1;
        return lead.end(p);
    }

    /** Adds the end of the phrase as a place. */
    void addEnd(long at, double leadEnd) {
        anchors.add(new Anchor(at, at - leadEnd, END));
    }
}
