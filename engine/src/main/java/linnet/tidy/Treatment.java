package linnet.tidy;

import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.BiConsumer;
import java.util.function.Function;
import linnet.dsp.GainCurve;
import linnet.dsp.Samples;
import linnet.dsp.Sound;
import linnet.dsp.Stretches;
import linnet.dsp.align.Pieces;
import linnet.dsp.repair.Removal;
import linnet.dsp.repair.Span;
import linnet.hear.Ear;
import linnet.hear.Remembered;
import linnet.tidy.Decision.What;

/**
 * What is done to a part: all that was decided, without a sample of it. Whoever knows it need hear neither the part nor its lead to tidy it once more.
 *
 * @param breathless where breaths give way to the room
 * @param removed what the room is heard in place of, in order of time; none meets another
 * @param gains over the time of the part
 * @param joins of pieces that are moved, in order of time
 * @param decisions as they are told, in order of time
 */
record Treatment(List<Span> breathless, List<Span> removed, List<GainCurve> gains, List<Join> joins, List<Decision> decisions) {
    /** Fades of a breath, in seconds, and the shortest. */
    private static final double BREATH_FADE = 0.02, SHORTEST_FADE = 0.01;

    private static final Remembered<List<Span>> SPANS = list(8 + 8 + 4, (s, to) -> to.putLong(s.from()).putLong(s.to()).putInt(s.fade()),
            from -> new Span(from.getLong(), from.getLong(), from.getInt()));
    private static final Remembered<List<Join>> JOINS = list(8 + 4 + 8 + 1 + 8,
            (j, to) -> to.putLong(j.at).putInt(j.width).putLong(j.shift).put((byte) (j.room ? 1 : 0)).putDouble(j.alike),
            from -> new Join(from.getLong(), from.getInt(), from.getLong(), from.get() == 1, from.getDouble()));
    private static final Remembered<List<GainCurve>> GAINS = Remembered.list(new Remembered<>(g -> 4 + 16 * g.points(), (g, to) -> {
        to.putInt(g.points());
        for (int i = 0; i < g.points(); i++) to.putLong(g.pointAt(i)).putDouble(g.pointDb(i));
    }, from -> {
        GainCurve.Builder curve = new GainCurve.Builder();
        for (int n = Remembered.count(from, 16); n > 0; n--) curve.point(from.getLong(), from.getDouble());
        return curve.build();
    }));

    /** All of it, to the bit. */
    static final Remembered<Treatment> FORM = new Remembered<>(
            t -> SPANS.size().apply(t.breathless) + SPANS.size().apply(t.removed) + GAINS.size().apply(t.gains) + JOINS.size().apply(t.joins)
                    + Decision.FORM.size().apply(t.decisions), (t, to) -> {
                SPANS.put().accept(t.breathless, to);
                SPANS.put().accept(t.removed, to);
                GAINS.put().accept(t.gains, to);
                JOINS.put().accept(t.joins, to);
                Decision.FORM.put().accept(t.decisions, to);
            }, from -> new Treatment(SPANS.get().apply(from), SPANS.get().apply(from), GAINS.get().apply(from), JOINS.get().apply(from),
                    Decision.FORM.get().apply(from)));

    /**
     * From a sample of the result on, which is the middle of a crossfade, the part is later by so much; or, without a shift, the room up to the next.
     *
     * @param alike correlation of what is joined
     */
    record Join(long at, int width, long shift, boolean room, double alike) {}

    private static <T> Remembered<List<T>> list(int bytes, BiConsumer<T, ByteBuffer> put, Function<ByteBuffer, T> get) {
        return Remembered.list(new Remembered<>(x -> bytes, put, get));
    }

    /**
     * Decides, phrase by phrase.
     *
     * @param removal for this part
     * @param except places whose phrases are left alone, with the breath before them
     */
    static Treatment decided(Ear ear, Removal removal, Lead lead, Aims aims, Stretches except) {
        List<Phrases.Phrase> phrases = Phrases.inTime(ear);
        boolean[] free = new boolean[phrases.size()];
        for (int p = 0; p < free.length; p++) free[p] = !phrases.get(p).kept() && !except.meets(phrases.get(p).from(), phrases.get(p).to());
        List<Decision> decisions = new ArrayList<>();
        List<Span> breathless = aims.breaths() ? breathless(ear, phrases, free, removal, decisions) : List.of(), removed = new ArrayList<>();
        boolean follows = aims.timing().isPresent() || aims.ends() || aims.consonants().isPresent() || aims.level() instanceof Aims.Level.Lead;
        Timing timing = new Timing(ear, phrases, free, follows ? Lead.cepstra(ear, phrases) : null, lead, aims, breathless, removal.room().isPresent(),
                decisions);
        long[] overs = new long[free.length];
        Arrays.fill(overs, -1);
        if (aims.ends()) new Ends(ear, phrases, timing, removal, breathless, decisions).fade(removed, overs);
        removeBreaths(removal, breathless, removed, decisions);
        List<GainCurve> gains = new ArrayList<>();
        if (aims.consonants().isPresent()) gains.add(new Consonants(ear, phrases, timing, lead, aims.consonants().getAsDouble(), decisions).curve());
        if (!(aims.level() instanceof Aims.Level.Left)) gains.add(new Evening(ear, phrases, free, timing, overs, lead, aims.level(), decisions).curve());
        removed.sort(Comparator.comparingLong(Span::from));
        decisions.sort(Comparator.comparingLong(Decision::from).thenComparing(Decision::what));
        return new Treatment(breathless, removed, gains, timing.joins(), decisions);
    }

    private static List<Span> breathless(Ear ear, List<Phrases.Phrase> phrases, boolean[] free, Removal removal, List<Decision> decisions) {
        double rate = ear.sound().rate();
        List<Span> breathless = new ArrayList<>();
        for (Span s : new BreathSpans(ear, (int) (BREATH_FADE * rate), (int) (SHORTEST_FADE * rate)).all()) {
            int p = phraseAfter(phrases, s.from());
            if (p < phrases.size() && !free[p]) {
                decisions.add(new Decision(What.BREATH, s.from(), s.to(), 0, false, "its phrase is left alone"));
            } else if (!removal.has(s)) {
                decisions.add(new Decision(What.BREATH, s.from(), s.to(), 0, false, "no room is heard that could stand in its place"));
            } else {
                breathless.add(s);
            }
        }
        return breathless;
    }

    /** The phrase that a breath is taken for. */
    private static int phraseAfter(List<Phrases.Phrase> phrases, long at) {
        int p = 0;
        while (p < phrases.size() && phrases.get(p).to() <= at) p++;
        return p;
    }

    /** Those that no end was faded over are taken out here; of the others the same room is heard already. */
    private static void removeBreaths(Removal removal, List<Span> breathless, List<Span> removed, List<Decision> decisions) {
        List<Span> ends = List.copyOf(removed);
        for (Span s : breathless) {
            Optional<Span> end = ends.stream().filter(e -> e.from() < s.to() && s.from() < e.to()).findFirst();
            if (end.isEmpty()) removed.add(s);
            double db = end.isPresent() ? removal.lost(s, end.get()) : removal.of(s).orElseThrow().db();
            decisions.add(new Decision(What.BREATH, s.from(), s.to(), db, true, end.isPresent() ? "removed with the end before it" : "removed"));
        }
    }

    /** Whether it can be done to a part of so many samples. What was decided for it can; what is read may be anything. */
    boolean fits(long frames, Removal removal) {
        long end = 0;
        for (Span s : removed) {
            if (s.from() < end || s.to() > frames || s.fade() < 1 || 2L * s.fade() > s.to() - s.from() + 1 || !removal.has(s)) return false;
            end = s.to();
        }
        long last = Long.MIN_VALUE / 4;
        for (int k = 0; k < joins.size(); k++) {
            Join j = joins.get(k);
            if (j.width < 0 || j.width > frames || j.at < -frames || j.at > 2 * frames || j.shift < -frames || j.shift > frames || j.at - j.width / 2 < last) {
                return false;
            }
            if (j.room && (removal.room().isEmpty() || k + 1 == joins.size() || joins.get(k + 1).room)) return false;
            last = j.at + j.width - j.width / 2;
        }
        return true;
    }

    /**
     * The part in its new time.
     *
     * @param mended with its level and its room
     */
    Pieces pieces(Sound mended, Removal removal) {
        Pieces.Builder pieces = new Pieces.Builder(mended);
        for (int k = 0; k < joins.size(); k++) {
            Join j = joins.get(k);
            if (!j.room) {
                pieces.join(j.at, j.width, j.shift, j.alike);
                continue;
            }
            long from = j.at - j.width, to = joins.get(k + 1).at + joins.get(k + 1).width;
            pieces.join(j.at, j.width, new Samples(mended.rate(), removal.room().orElseThrow().fill(from, (int) (to - from))), from, 0);
        }
        return pieces.build();
    }
}
