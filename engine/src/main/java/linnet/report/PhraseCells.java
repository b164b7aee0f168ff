package linnet.report;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import linnet.dsp.pitch.PitchTrack;
import linnet.hear.Ear;

/** Where someone sings, and the phrases, in the span of a report, in cells of it. */
final class PhraseCells {
    /** Cells {@code from … to - 1}. */
    record Span(int from, int to) {
        int length() {
            return to - from;
        }
    }

    private final int cells;
    private final double cellSeconds;
    private final BitSet sung = new BitSet(), voiced = new BitSet();
    private final List<Span> stretches = new ArrayList<>();
    private final List<Span> phrases = new ArrayList<>();

    /** @param from first sample of the report */
    PhraseCells(Ear ear, long from, int cells) {
        this.cells = cells;
        PitchTrack pitch = ear.pitch();
        this.cellSeconds = pitch.hop() / ear.sound().rate();
        int first = (int) (from / pitch.hop());
        ear.sung().value().ifPresent(s -> {
            for (int c = 0; c < cells; c++) {
                sung.set(c, s.frame(first + c));
                voiced.set(c, s.frame(first + c) && pitch.voiced(first + c));
            }
        });
        for (int c = sung.nextSetBit(0); c >= 0; ) {
            int end = sung.nextClearBit(c);
            stretches.add(new Span(c, end));
            c = sung.nextSetBit(end);
        }
        ear.phrases().forEach(p -> {
            int start = Math.max(0, (int) (p.from() / pitch.hop()) - first), end = Math.min(cells, (int) (p.to() / pitch.hop()) - first);
            if (start < end) phrases.add(new Span(start, end));
        });
    }

    int cells() {
        return cells;
    }

    double cellSeconds() {
        return cellSeconds;
    }

    BitSet sung() {
        return sung;
    }

    /** The sung cells of a phrase. */
    BitSet sung(Span phrase) {
        BitSet cells = new BitSet();
        cells.set(phrase.from(), phrase.to());
        cells.and(sung);
        return cells;
    }

    /** Sung cells that have a pitch. */
    BitSet voiced() {
        return voiced;
    }

    /** Unbroken stretches of singing. */
    List<Span> stretches() {
        return stretches;
    }

    /** Those of the list of marks, where there is one beside the take: what somebody corrected there, the chain goes by too. */
    List<Span> phrases() {
        return phrases;
    }

    /** What lies between phrases; not what comes before the first and after the last. */
    List<Span> pauses() {
        List<Span> pauses = new ArrayList<>();
        for (int i = 1; i < phrases.size(); i++) pauses.add(new Span(phrases.get(i - 1).to, phrases.get(i).from));
        return pauses;
    }

    /** Cells in so many seconds. */
    int cells(double seconds) {
        return (int) Math.round(seconds / cellSeconds);
    }
}
