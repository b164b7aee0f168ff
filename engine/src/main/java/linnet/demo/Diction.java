package linnet.demo;

import static linnet.demo.Truth.Part.ASPIRATION;
import static linnet.demo.Truth.Part.BURST;
import static linnet.demo.Truth.Part.CLOSURE;
import static linnet.demo.Truth.Part.GLIDE;
import static linnet.demo.Truth.Part.NOISE;
import static linnet.demo.Truth.Part.VOICED;
import static linnet.demo.Truth.Part.VOWEL;

import java.util.ArrayList;
import java.util.List;

/**
 * Score to sounds in time. A singer puts the vowel on the beat: what comes before it in the syllable is taken from the note
 * before, and where there is too little time the consonants hurry.
 */
final class Diction {
    private static final double SHORTEST_VOWEL = 0.09;
    private static final double LONGEST_GLIDE = 0.2;

    final List<Truth.Line> lines = new ArrayList<>();
    final List<Truth.Note> notes = new ArrayList<>();
    final List<Truth.Sound> sounds = new ArrayList<>();
    /** For each note: the one of the score, and its phrase. */
    final List<Score.Note> written = new ArrayList<>();
    final List<Integer> phrase = new ArrayList<>();

    /** A sound that has a length but no place yet. */
    private record Piece(Phone phone, Truth.Part part, double seconds) {}

    Diction(Score score, Singer singer) {
        Noise timing = new Noise(singer.seed(), "timing");
        for (Score.Phrase p : score.phrases()) speak(p, score, singer, timing);
    }

    /** The notes of a phrase. */
    List<Truth.Note> notesOf(int line) {
        return notes.subList(phrase.indexOf(line), phrase.lastIndexOf(line) + 1);
    }

    private void speak(Score.Phrase p, Score score, Singer singer, Noise timing) {
        int count = p.notes().size();
        double[] vowel = new double[count + 1];
        double beat = p.beat();
        for (int k = 0; k <= count; k++) {
            vowel[k] = beat * score.secondsPerBeat() + timing.between(-0.012, 0.018);
            if (k < count) beat += p.notes().get(k).beats();
        }
        int firstSound = sounds.size();
        List<Piece> onset = onset(p.notes().get(0));
        double at = vowel[0] - length(onset);
        for (int k = 0; k < count; k++) {
            Score.Note n = p.notes().get(k);
            int index = notes.size();
            for (Piece piece : onset) at = place(piece, at, 1, index);
            List<Piece> coda = coda(n, k == count - 1);
            onset = k + 1 < count ? onset(p.notes().get(k + 1)) : List.of();
            double free = vowel[k + 1] - at;
            double hurry = Math.min(1, (free - Math.max(SHORTEST_VOWEL, 0.4 * free)) / (length(coda) + length(onset) + 1e-9));
            onset = onset.stream().map(o -> new Piece(o.phone, o.part, o.seconds * hurry)).toList();
            double end = vowel[k + 1] - hurry * length(coda) - length(onset);
            notes.add(new Truth.Note(at, end, n.midi() + 12 * singer.octave(), hz(n, singer), n.cents(), n.vowel()));
            written.add(n);
            phrase.add(lines.size());
            double turn = n.glide() == n.vowel() ? end : end - Math.min(LONGEST_GLIDE, 0.4 * (end - at));
            sounds.add(new Truth.Sound(n.vowel(), VOWEL, at, turn, index));
            if (turn < end) sounds.add(new Truth.Sound(n.glide(), GLIDE, turn, end, index));
            at = end;
            for (Piece piece : coda) at = place(piece, at, hurry, index);
        }
        lines.add(new Truth.Line(sounds.get(firstSound).start(), at, p.section(), p.words(), 0));
    }

    private double place(Piece piece, double at, double hurry, int note) {
        double end = at + hurry * piece.seconds;
        sounds.add(new Truth.Sound(piece.phone, piece.part, at, end, note));
        return end;
    }

    private static double hz(Score.Note n, Singer singer) {
        return n.hz() * StrictMath.pow(2, singer.octave());
    }

    private static List<Piece> onset(Score.Note n) {
        List<Piece> pieces = new ArrayList<>();
        for (int i = 0; i < n.onset().size(); i++) {
            // After s the lips of the voice are almost closed already: sp, st, sk have next to no breath.
            double breath = i > 0 && n.onset().get(i - 1) == Phone.S ? 0.012 : 0.045;
            add(pieces, n.onset().get(i), breath);
        }
        return pieces;
    }

    private static List<Piece> coda(Score.Note n, boolean last) {
        List<Piece> pieces = new ArrayList<>();
        for (Phone phone : n.coda()) add(pieces, phone, last ? 0.03 : 0);
        return pieces;
    }

    private static void add(List<Piece> pieces, Phone phone, double breath) {
        switch (phone.manner) {
            case STOP -> {
                pieces.add(new Piece(phone, CLOSURE, phone.seconds));
                pieces.add(new Piece(phone, BURST, phone == Phone.K || phone == Phone.G ? 0.018 : 0.010));
                if (!phone.voiced && breath > 0) pieces.add(new Piece(phone, ASPIRATION, breath));
            }
            case FRICATIVE -> pieces.add(new Piece(phone, NOISE, phone.seconds));
            case ASPIRATE -> pieces.add(new Piece(phone, ASPIRATION, phone.seconds));
            case NASAL, APPROXIMANT -> pieces.add(new Piece(phone, VOICED, phone.seconds));
            case VOWEL -> throw new IllegalArgumentException("a vowel is no consonant: " + phone);
        }
    }

    private static double length(List<Piece> pieces) {
        return pieces.stream().mapToDouble(Piece::seconds).sum();
    }
}
