package linnet.demo;

import java.util.ArrayList;
import java.util.List;

/**
 * What is to be sung. As text, one line a phrase and one line a syllable:
 * <pre>
 *   phrase 2:1 verse 0.35 Salt on the stones
 *     A3 1   s-aw-l-t
 *     D4 1/2 aw-n      +18c scoop
 *     E4 1   ~
 * </pre>
 * A phrase has bar and beat, section, effort (0 whispered, 1 as loud as can be) and words. A syllable has pitch, length in
 * beats, and phones, the vowel with {@code a>i} where it glides; {@code ~} holds the vowel on to a new pitch. {@code +18c}
 * is sung sharp by 18 cents, {@code scoop} comes from below.
 *
 * @param bars length of the whole, with a count-in of one bar before and rests after
 */
public record Score(String title, double beatsPerMinute, int beatsPerBar, String key, int bars, List<Phrase> phrases) {

    /** A line sung on one breath. {@code beat} counts from 0 at the first bar line. */
    public record Phrase(double beat, String section, double effort, String words, List<Note> notes) {

        Phrase section(String other) {
            return new Phrase(beat, other, effort, words, notes);
        }

        Phrase earlier(double beats) {
            return new Phrase(beat - beats, section, effort, words, notes);
        }

        /** The same words in the same rhythm, in tune on other pitches: one for each note. */
        Phrase pitches(List<String> names) {
            if (names.size() != notes.size()) throw new IllegalArgumentException(words + ": " + names.size() + " pitches for " + notes.size() + " notes");
            List<Note> sung = new ArrayList<>();
            for (int k = 0; k < names.size(); k++) {
                Note n = notes.get(k);
                sung.add(new Note(Score.midi(names.get(k)), n.beats, n.onset, n.vowel, n.glide, n.coda, 0, n.scoopCents, n.held));
            }
            return new Phrase(beat, section, effort, words, sung);
        }

        /** Every line comes a little early or late, every note in it as well, and each is off by a few cents of its own. */
        private Phrase loose(Noise noise, double beats, double cents) {
            List<Note> sung = new ArrayList<>();
            double early = beats * noise.next();
            double before = 0;
            for (Note n : notes) {
                double after = 0.6 * beats * noise.next();
                sung.add(new Note(n.midi, n.beats - before + after, n.onset, n.vowel, n.glide, n.coda, Math.rint(cents * noise.next()), n.scoopCents, n.held));
                before = after;
            }
            return new Phrase(beat + early, section, effort + 0.03 * noise.next(), words, sung);
        }
    }

    /**
     * One pitch.
     *
     * @param midi key number, 69 is A4
     * @param glide the vowel it ends on, or the same
     * @param cents how far it is sung from its pitch
     * @param scoopCents how far below it starts
     * @param held whether it goes on from the note before on the same vowel
     */
    public record Note(
            double midi,
            double beats,
            List<Phone> onset,
            Phone vowel,
            Phone glide,
            List<Phone> coda,
            double cents,
            double scoopCents,
            boolean held) {

        /** The frequency aimed at, mistuning included. */
        public double hz() {
            return 440 * StrictMath.pow(2, (midi - 69 + cents / 100) / 12);
        }
    }

    public double secondsPerBeat() {
        return 60 / beatsPerMinute;
    }

    public double seconds() {
        return bars * beatsPerBar * secondsPerBeat();
    }

    /** As another would sing along: lines up to {@code seconds} early or late, notes up to {@code cents} off. Another seed, another take. */
    Score loose(long seed, double seconds, double cents) {
        Noise noise = new Noise(seed, "along");
        double beats = seconds / secondsPerBeat();
        return new Score(title, beatsPerMinute, beatsPerBar, key, bars, phrases.stream().map(p -> p.loose(noise, beats, cents)).toList());
    }

    /** Reads phrases from text in the form above. */
    static List<Phrase> phrases(String text, int beatsPerBar) {
        List<Phrase> phrases = new ArrayList<>();
        List<Note> notes = List.of();
        for (String line : text.lines().map(String::strip).filter(l -> !l.isEmpty()).toList()) {
            String[] word = line.split("\\s+");
            if (word[0].equals("phrase")) {
                String[] at = word[1].split(":");
                double beat = (Integer.parseInt(at[0]) - 1) * beatsPerBar + Double.parseDouble(at[1]) - 1;
                notes = new ArrayList<>();
                phrases.add(new Phrase(beat, word[2], Double.parseDouble(word[3]), line.split("\\s+", 5)[4], notes));
            } else {
                notes.add(note(word, notes));
            }
        }
        return phrases;
    }

    private static Note note(String[] word, List<Note> before) {
        double cents = 0;
        double scoop = 0;
        for (int i = 3; i < word.length; i++) {
            if (word[i].equals("scoop")) scoop = 90;
            else cents = Double.parseDouble(word[i].replace("c", ""));
        }
        if (word[2].equals("~")) {
            // The coda and the glide move to the end of the held vowel.
            Note last = before.remove(before.size() - 1);
            before.add(new Note(last.midi, last.beats, last.onset, last.vowel, last.vowel, List.of(), last.cents,
                    last.scoopCents, last.held));
            return new Note(midi(word[0]), beats(word[1]), List.of(), last.vowel, last.glide, last.coda, cents, 0, true);
        }
        List<Phone> onset = new ArrayList<>();
        List<Phone> coda = new ArrayList<>();
        Phone vowel = null;
        Phone glide = null;
        for (String symbol : word[2].split("-")) {
            String[] way = symbol.split(">");
            Phone phone = Phone.named(way[0]);
            if (phone.isVowel()) {
                vowel = phone;
                glide = way.length > 1 ? Phone.named(way[1]) : phone;
            } else {
                (vowel == null ? onset : coda).add(phone);
            }
        }
        return new Note(midi(word[0]), beats(word[1]), onset, vowel, glide, coda, cents, scoop, false);
    }

    /** C4 is 60. */
    static int midi(String name) {
        int semitone = "C D EF G A B".indexOf(name.charAt(0));
        int sharp = name.charAt(1) == '#' ? 1 : 0;
        return 12 * (Integer.parseInt(name.substring(1 + sharp)) + 1) + semitone + sharp;
    }

    private static double beats(String word) {
        double sum = 0;
        for (String part : word.split("\\+")) {
            String[] ratio = part.split("/");
            sum += Double.parseDouble(ratio[0]) / (ratio.length > 1 ? Double.parseDouble(ratio[1]) : 1);
        }
        return sum;
    }
}
