package linnet.hear;

import java.util.BitSet;
import java.util.List;
import java.util.Optional;
import java.util.function.LongToDoubleFunction;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import linnet.dsp.Beside;
import linnet.dsp.Decibels;
import linnet.dsp.Sound;
import linnet.dsp.Stretches;
import linnet.dsp.Tape;
import linnet.dsp.loudness.SamplePeak;
import linnet.dsp.pitch.PitchTrack;

/**
 * The facts of one sound. Nothing is computed before it is asked for, and nothing twice; the sound is read in blocks and
 * never held. An ear is not safe for use by several threads at once.
 */
public final class Ear {
    private static final double SHORTEST = 0.1;
    static final String TOO_SHORT = "it is shorter than 0.1 s";
    static final String SILENT = "it is silent";
    static final String NOBODY = "nobody sings in it: nothing has a pitch for long";
    /** Frames on each side that must be near for a pitch to be steady, and how near: a vibrato moves a semitone in 20 ms. */
    private static final int STEADY = 2;
    private static final double NEAR = StrictMath.pow(2, 1 / 12.0);
    private static final double LOW_END = 0.025;
    /** In Hz: a standing high-pass that is to spare the voice lies no higher; 100 to 120 are usual for high voices. Common practice. */
    public static final double HIGHEST_CORNER = 120;
    private static final int LEAST_PITCHED = 10, LEAST_SIBILANT = 3;
    private static final double SURE_HEIGHT = 6;
    /** Spectra that a long-term envelope is sure with: about 4 s. */
    static final double ENVELOPES = 400;
    private static final LongToDoubleFunction UNMOVED = s -> 0;

    private final Sound sound;
    private final Passes passes;
    /** The ear on the take that this sound was made of; null if it is the take itself. */
    private final Ear take;
    private final Told told;
    private final Memory memory;
    private final boolean mix;
    /** By how many cents what is sung was moved on its way from the take, at each sample of that. */
    private final LongToDoubleFunction transposed;
    /** Null if it was not cut out of others. */
    private final Cut cut;
    /** Null where no more than one sings in it. */
    private final Singers singers;
    private Measured<Double> noise, voice, peak, lowestNote, highestNote, medianPitch, sibilance;
    private Measured<Sung> sung;
    private Marks speech, marks;
    private List<Mark> sibilants;
    private Measured<List<Sung.Span>> room;
    private Notes notes;

    public Ear(Sound sound) {
        this(sound, Told.nothing());
    }

    /** An ear on a take of which something is known already. */
    public Ear(Sound sound, Told told) {
        this(sound, told, Memory.NONE);
    }

    /** @param memory what was heard before of this very sound, with the same told of it */
    public Ear(Sound sound, Told told, Memory memory) {
        this(new Passes(sound, null, memory, null), null, told, memory, false, UNMOVED, null, null);
    }

    /** An ear on what was cut out of other sounds. */
    public Ear(Sound sound, Told told, Memory memory, Cut cut) {
        this(new Passes(sound, null, memory, null), null, told, memory, false, UNMOVED, cut, null);
    }

    /** An ear on a sum in which several sing, of whom each is heard by itself. */
    public Ear(Sound sound, Memory memory, Singers singers) {
        this(new Passes(sound, null, memory, singers), null, Told.nothing(), memory, false, UNMOVED, null, singers);
    }

    private Ear(Passes passes, Ear take, Told told, Memory memory, boolean mix, LongToDoubleFunction transposed, Cut cut, Singers singers) {
        this.sound = passes.sound();
        this.passes = passes;
        this.take = take;
        this.told = told;
        this.memory = memory;
        this.mix = mix;
        this.transposed = transposed;
        this.cut = cut;
        this.singers = singers;
    }

    /**
     * An ear on what is played, and on a mix. Instruments have no one pitch by which singing could be told from a breath, and many have none, so
     * whatever is loud enough counts as sung: what is aimed at is aimed at while the song sounds.
     */
    public static Ear ofMix(Sound sound, Told told, Memory memory) {
        return new Ear(new Passes(sound, null, memory, null), null, told, memory, true, UNMOVED, null, null);
    }

    /** Whether it listens to what is played, or to a mix. */
    public boolean isOfMix() {
        return mix;
    }

    /** Whether several sing in it, of whom each is heard by itself. */
    public boolean isOfSeveral() {
        return singers != null;
    }

    /** Hears now what nearly all else is heard by; for who would wait for something else meanwhile. */
    public Ear listen() {
        passes.levels();
        return this;
    }

    /** An ear on the same take, which is told something of it and has listened as this one has. */
    public Ear told(Told told) {
        return new Ear(passes.again(), take, told, memory, mix, transposed, cut, singers);
    }

    /**
     * An ear on what became of this take on its way through a chain, sample for sample in the take's time. Levels and spectra
     * are heard in that sound; where someone sings, and at what pitch, is what it was in the take: steps do not change it,
     * and compression and echoes make it harder to hear.
     */
    public Ear on(Sound processed) {
        return on(processed, "", UNMOVED);
    }

    /**
     * The same where steps have moved the pitch.
     *
     * @param place stands for all that was done to the take, for what is remembered of it; empty where nothing is to be
     * @param transposed by how many cents all that is sung was moved, at each sample of the take
     */
    public Ear on(Sound processed, String place, LongToDoubleFunction transposed) {
        if (processed.frames() != sound.frames()) throw new IllegalArgumentException("not as long as the take");
        Memory there = place.isEmpty() ? Memory.NONE : memory.at(place);
        return new Ear(new Passes(processed, passes, there, null), this, told, there, mix, transposed, null, singers);
    }

    /** Lets somebody help from now on: what can be heard in halves is heard by both at once, to the same bits. */
    public void help(Beside beside) {
        passes.help(beside);
    }

    /** For who hears in two halves. */
    public Beside beside() {
        return passes.beside();
    }

    /** Where what is heard many times in a frame is kept while it is wanted; by itself in memory. */
    public void keepOn(Tape.Maker tapes) {
        passes.keepOn(tapes);
    }

    /** Where it is kept. */
    public Tape.Maker tapes() {
        return passes.tapes();
    }

    /** What was heard of this sound before. */
    public Memory memory() {
        return memory;
    }

    /** What it hears. */
    public Sound sound() {
        return sound;
    }

    /**
     * Level of the noise in the pauses, in dBFS: the RMS above 100 Hz (24 dB/oct) of the quietest twentieth of all 50 ms frames,
     * digital silence left out. Rumble is left out too, because it says nothing about what is heard in a pause; a detector
     * that opens "over noise" must leave it out as well.
     */
    public Measured<Double> noise() {
        if (noise == null) {
            noise = memory.fact("noise", Remembered.MEASURED, () -> tooShort() ? Measured.not(TOO_SHORT) : NoiseFloor.measure(passes.levels(), this::sung));
        }
        return noise;
    }

    /** RMS over the sung frames that have a pitch, in dBFS: pauses, breaths and consonants don't count. Of a mix, over all that sounds. */
    public Measured<Double> voice() {
        if (voice == null) {
            voice = memory.fact("voice", Remembered.MEASURED,
                    () -> sung().map(s -> Decibels.ofPower(passes.power(s.hop(), f -> s.frame(f) && (mix || pitch().voiced(f))))));
        }
        return voice;
    }

    /** The largest sample, in dBFS. */
    public Measured<Double> peak() {
        if (peak == null) peak = memory.fact("peak", Remembered.MEASURED, this::measurePeak);
        return peak;
    }

    private Measured<Double> measurePeak() {
        SamplePeak meter = new SamplePeak();
        passes.read(meter::add);
        return meter.dbfs() == Double.NEGATIVE_INFINITY ? Measured.not(SILENT) : Measured.of(meter.dbfs(), 1);
    }

    /** Where someone sings; where anything sounds, in a mix. */
    public Measured<Sung> sung() {
        if (take != null) return take.sung();
        if (sung == null) sung = measureSung();
        return sung;
    }

    /** Whether anything in it is loud enough. */
    boolean mayBeSung() {
        return !tooShort() && !passes.loud().isEmpty();
    }

    /** Whether nothing in it is loud enough to be heard. */
    public boolean isSilent() {
        return sung().reason().equals(SILENT);
    }

    private Measured<Sung> measureSung() {
        if (tooShort()) return Measured.not(TOO_SHORT);
        BitSet loud = passes.loud();
        if (loud.isEmpty()) return Measured.not(SILENT);
        if (singers != null) return measureSingers(loud);
        BitSet sounding = mix ? loud : VoiceActivity.sounding(loud, pitch()), frames = mix ? sounding : VoiceActivity.sung(sounding, pitch());
        if (frames.isEmpty()) return Measured.not(Intake.isOpposed(sound) ? Intake.OPPOSING : NOBODY);
        return Measured.of(new Sung(passes.levels().hop(), passes.levels().frames(), frames), share(frames, sounding));
    }

    private Measured<Sung> measureSingers(BitSet loud) {
        BitSet frames = singers.sung(passes.levels().hop(), passes.levels().frames()), sounding = (BitSet) loud.clone();
        if (frames.isEmpty()) return Measured.not(NOBODY);
        sounding.or(frames);
        return Measured.of(new Sung(passes.levels().hop(), passes.levels().frames(), frames), share(frames, sounding));
    }

    /** Pitch of the lowest notes sung, in Hz: one sung frame in forty with a steady pitch is lower. Of several who sing, that of whoever sings lowest. */
    public Measured<Double> lowestNote() {
        if (lowestNote == null) {
            lowestNote = memory.fact("lowest note", Remembered.MEASURED, () -> singers != null ? sung().then(s -> singers.lowestNote()) : steadyPitch(LOW_END));
        }
        return lowestNote;
    }

    /** Pitch of the highest notes sung, in Hz: one sung frame in forty with a steady pitch is higher. Of several, that of whoever sings highest. */
    public Measured<Double> highestNote() {
        if (highestNote == null) {
            highestNote = memory.fact("highest note", Remembered.MEASURED,
                    () -> singers != null ? sung().then(s -> singers.highestNote()) : steadyPitch(1 - LOW_END));
        }
        return highestNote;
    }

    /** Half of the sung frames with a steady pitch are lower, in Hz. */
    public Measured<Double> medianPitch() {
        if (medianPitch == null) medianPitch = memory.fact("median pitch", Remembered.MEASURED, () -> steadyPitch(0.5));
        return medianPitch;
    }

    /** Whether what stands out there may be a note that was held: it lies among those that are sung, or an octave over the middle of them within a semitone. */
    public boolean mayBeANote(double hz) {
        double highest = highestNote().value().orElse(0.0), octave = 2 * medianPitch().value().orElse(0.0);
        return hz <= NEAR * highest || hz > octave / NEAR && hz < octave * NEAR;
    }

    /** The pitch that this share of all sung frames with a steady pitch is lower than, in Hz. */
    private Measured<Double> steadyPitch(double share) {
        return sung().then(sung -> {
            double[] steady = IntStream.range(STEADY, pitch().frames() - STEADY)
                    .filter(f -> sung.frame(f) && steady(f))
                    .mapToDouble(f -> pitch().hz()[f])
                    .toArray();
            if (steady.length < LEAST_PITCHED) return Measured.not("no note in it is held long enough");
            return Measured.of(Quantiles.of(steady, share, 0), certainty(steady.length, 100));
        });
    }

    /** Whether the pitch stays near for 40 ms: creaks and octave errors don't, vibrato does. */
    private boolean steady(int f) {
        for (int i = f - STEADY; i <= f + STEADY; i++) {
            if (!pitch().voiced(i)) return false;
            double ratio = pitch().hz()[i] / pitch().hz()[f];
            if (ratio > NEAR || ratio < 1 / NEAR) return false;
        }
        return true;
    }

    /**
     * The k-th strongest resonance that a standing cut may take away, {@code k} from 1 to 4: between 200 Hz and 2 kHz, and no
     * wider than 0.4 octaves. The voice's own ring near 3 kHz is never one.
     */
    public Measured<Resonance> resonance(int k) {
        if (k < 1 || k > 4) throw new IllegalArgumentException("resonance " + k);
        return memory.fact("resonance " + k, Remembered.RESONANCE, () -> sung().then(s -> {
            Envelope envelope = passes.spectra(s).envelope;
            List<Resonance> found = envelope.resonances();
            if (k <= found.size()) {
                Resonance r = found.get(k - 1);
                return Measured.of(r, certainty(envelope.frames(), ENVELOPES) * r.height() / SURE_HEIGHT);
            }
            return Measured.not(found.isEmpty() ? "no resonance stands out" : "no more than " + found.size() + " stand out");
        }));
    }

    /** Centre of the singer's sibilants, in Hz, between 3 and 12 kHz. */
    public Measured<Double> sibilance() {
        if (sibilance == null) {
            sibilance = memory.fact("sibilance", Remembered.MEASURED, () -> sung().then(s -> {
                Sibilants heard = passes.spectra(s).sibilants;
                if (heard.frames() < LEAST_SIBILANT) return Measured.not("no sibilant is heard in it");
                return Measured.of(heard.centre(), certainty(heard.frames(), 20));
            }));
        }
        return sibilance;
    }

    /** How far the singer's sibilants stand over the voice, in dB: their mean level between 3 and 12 kHz beside that of the sung frames. */
    public Measured<Double> sibilanceStrength() {
        return sibilance().then(hz -> sung().then(s -> {
            Sibilants heard = passes.spectra(s).sibilants;
            return voice().then(voice -> Measured.of(heard.dbfs() - voice, certainty(heard.frames(), 20)));
        }));
    }

    /** What all of it is made of. */
    Passes passes() {
        return passes;
    }

    boolean tooShort() {
        return sound.frames() < SHORTEST * sound.rate();
    }

    /** The pitch of each frame of 10 ms, where it has one. */
    public PitchTrack pitch() {
        return passes.pitch();
    }

    /** The same, heard anew in what arrives: for who works on the pitch of a voice that a step before may have moved. */
    public PitchTrack arrivingPitch() {
        return passes.arrivingPitch();
    }

    /** The marks of the take: those it was told, else those it finds in the take itself. */
    public Marks marks() {
        if (take != null) return take.marks();
        if (marks == null) {
            marks = told.marks().isPresent() && told.clicks() ? speech()
                    : new Marks(Stream.concat(speech().all().stream(), memory.fact("clicks", Remembered.MARKS, () -> new Marker(this).clicks()).stream())
                            .toList());
        }
        return marks;
    }

    /** Whether it was told the marks. */
    public boolean hasList() {
        return take == null ? told.marks().isPresent() : take.hasList();
    }

    /** The same but for the clicks, unless they are told of: whoever does not need them does not wait for them. */
    public Marks speech() {
        if (take != null) return take.speech();
        if (speech == null) {
            speech = told.marks()
                    .orElseGet(() -> new Marks(memory.fact(Memory.SPEECH, Remembered.MARKS, () -> cut != null ? cut.speech().all()
                            : new Marker(this).speech())));
        }
        return speech;
    }

    /**
     * The sibilants that it would find if it had been told nothing, where a person corrected the list: what that does not have of them was taken
     * out, and what it has beside them was added. Empty where nobody corrected it, and in what is not the take itself: there other sounds would be found.
     */
    public Optional<List<Mark>> sibilantsBeforeCorrection() {
        if (take != null) return take.sibilantsBeforeCorrection();
        if (!told.corrected()) return Optional.empty();
        if (sibilants == null) sibilants = memory.fact("sibilants before correction", Remembered.MARKS, () -> new Marker(this).sibilants());
        return Optional.of(sibilants);
    }

    /**
     * The phrases of a take, for who would not wait for marks to be found: those it was told; else where someone sings, with what is parted by less than 0.3 s
     * made one.
     */
    public List<Sung.Span> phrases() {
        if (take != null) return take.phrases();
        return told.marks().map(m -> m.of(Mark.Kind.PHRASE).stream().map(p -> new Sung.Span(p.from(), p.to())).toList())
                .orElseGet(() -> sung().map(Sung::phrases).value().orElse(List.of()));
    }

    /** Where an edit left silence, which tells nothing of the pauses. */
    public Stretches silenced() {
        if (take != null) return take.silenced();
        return cut != null ? cut.silenced() : Stretches.NONE;
    }

    /**
     * The stretches of bare room: nobody sings, and 50 ms around every frame of 10 ms lie less than 3 dB over the {@link #noise}. They do
     * not depend on marks, and steps do not move them.
     */
    public Measured<List<Sung.Span>> room() {
        if (take != null) return take.room();
        if (room == null) room = noise().then(noise -> sung().map(sung -> sung.without(NoiseFloor.bare(passes.levels(), noise))));
        return room;
    }

    /**
     * The sung notes: those it was told, at the pitch that is heard where they lie; else those it finds in the take itself. None where
     * nobody sings.
     */
    public Notes notes() {
        if (take != null) return take.notes();
        if (notes == null) notes = told.notes().map(this::heardAt).orElseGet(() -> new Notes(memory.fact("notes", Remembered.NOTES, this::findNotes)));
        return notes;
    }

    /** The notes of the take, each at the pitch at which it arrives; what is wanted of it is moved as all that is sung was on the way. */
    public Notes arrivingNotes() {
        return take == null ? notes() : heardAt(take.notes().transposed(transposed));
    }

    private Notes heardAt(Notes known) {
        return new Notes(known.all().stream().map(n -> NoteFinder.heardAt(n, arrivingPitch(), sound.rate())).toList());
    }

    private List<Note> findNotes() {
        OctaveDoubt octave = new OctaveDoubt(sound, pitch());
        List<Note> found = sung().map(s -> new NoteFinder(pitch(), s, passes.levels(), vowels(), sound.rate()).find()).value().orElse(List.of());
        return found.stream().map(n -> octave.isDoubtful(n) ? n.doubted() : n).toList();
    }

    /** Of {@link #speech}; where nobody needs the rest, the rest is not looked for. */
    private List<Mark> vowels() {
        return speech != null || cut != null || told.marks().isPresent() ? speech().of(Mark.Kind.VOWEL) : new Marker(this).vowels();
    }

    /** What a person marked to be left as it is; nothing that is found by ear is. */
    public List<Mark> kept() {
        return told.marks().map(Marks::kept).orElse(List.of());
    }

    /** What is known of a sound by those that it was cut out of; asked for once somebody wants it. */
    public interface Cut {
        /** What is marked in it, but for clicks; not asked for where marks are told. */
        Marks speech();

        /** Where nothing of them is left. */
        Stretches silenced();
    }

    private static double share(BitSet some, BitSet all) {
        return (double) some.cardinality() / all.cardinality();
    }

    /** From 0 towards 1 as frames are heard; 0.63 at {@code enough}. */
    static double certainty(int frames, double enough) {
        return 1 - StrictMath.exp(-frames / enough);
    }
}
