package linnet.hear;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.function.Predicate;

/** Where someone sings, in frames of 10 ms: from the first vowel of a phrase to the end of its last, consonants between included. */
public final class Sung {
    /** Samples {@code from … to - 1}. */
    public record Span(long from, long to) {}

    /** In frames. */
    static final int PAUSE = 30;

    private final int hop;
    private final int frames;
    private final BitSet sung;

    Sung(int hop, int frames, BitSet sung) {
        this.hop = hop;
        this.frames = frames;
        this.sung = (BitSet) sung.clone();
    }

    /** Samples in a frame; frame f begins at sample f · hop. */
    public int hop() {
        return hop;
    }

    /** Frames in the sound, sung or not. */
    public int frames() {
        return frames;
    }

    /** Frames that are sung. */
    public int count() {
        return sung.cardinality();
    }

    /** Whether frame {@code f} is sung; false outside the sound. */
    public boolean frame(int f) {
        return f >= 0 && sung.get(f);
    }

    /** Whether the frame that holds this sample is sung; false outside the sound. */
    public boolean at(long sample) {
        return sample >= 0 && sample / hop < frames && sung.get((int) (sample / hop));
    }

    /** The unbroken stretches, in order of time. */
    public List<Span> spans() {
        List<Span> spans = new ArrayList<>();
        for (int f = sung.nextSetBit(0); f >= 0; ) {
            int end = sung.nextClearBit(f);
            spans.add(new Span((long) f * hop, (long) end * hop));
            f = sung.nextSetBit(end);
        }
        return spans;
    }

    /** The stretches of these frames in which nobody sings. */
    List<Span> without(BitSet frames) {
        BitSet others = (BitSet) frames.clone();
        others.andNot(sung);
        return new Sung(hop, this.frames, others).spans();
    }

    /** The stretches, with those less than 0.3 s apart made one: a shorter pause is a consonant or a catch of breath. Common practice. */
    public List<Span> phrases() {
        return phrases(pause -> false);
    }

    /** @param parts whether a short pause parts two phrases all the same */
    List<Span> phrases(Predicate<Span> parts) {
        List<Span> phrases = new ArrayList<>();
        for (Span s : spans()) {
            Span last = phrases.isEmpty() ? null : phrases.get(phrases.size() - 1);
            boolean goesOn = last != null && s.from() - last.to() < (long) PAUSE * hop && !parts.test(new Span(last.to(), s.from()));
            if (goesOn) phrases.set(phrases.size() - 1, new Span(last.from(), s.to()));
            else phrases.add(s);
        }
        return phrases;
    }
}
