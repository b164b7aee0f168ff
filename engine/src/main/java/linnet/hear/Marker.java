package linnet.hear;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.Decibels;
import linnet.dsp.Stretches;

/** Finds the marks of a take. */
final class Marker {
    private static final double SHORTEST_BREATH = 0.1, BURST = 0.025, SILENT = -100;

    private final Ear ear;
    private final List<Mark> found = new ArrayList<>();

    Marker(Ear ear) {
        this.ear = ear;
    }

    /** All but the clicks. Each kind has a finder of its own; they share one look at the bands of the take. */
    List<Mark> speech() {
        // Neither needs the other. Where nobody sings, the second was for nothing.
        if (ear.mayBeSung()) ear.beside().both(ear::voice, ear.passes()::strands);
        ear.voice().value().ifPresent(voice -> {
            Strands strands = ear.passes().strands();
            List<Event> sibilants = sibilants(voice);
            List<Event> plosives = new Plosives(strands, Decibels.power(voice)).find();
            add(Mark.Kind.PLOSIVE, plosives);
            add(Mark.Kind.VOWEL, new VowelStarts(strands, ear.pitch(), voice).find());
            double noise = ear.noise().value().orElse(SILENT);
            Sung sung = ear.sung().value().orElseThrow();
            Stops bursts = new Stops(strands, Decibels.gain(noise), Decibels.gain(voice));
            List<Event> closed = bursts.find(clicks(sung, voice, noise, bursts.doubtful()));
            List<Event> heard = ear.noise().known()
                    ? new Breaths(ear.passes().levels(), ear.passes().hiss(), strands, ear.pitch(), sung, spoken(sibilants, closed), Decibels.power(noise),
                            Decibels.power(voice)).find() : List.of();
            Apart apart = new Apart(heard, sibilants, closed, Math.round(SHORTEST_BREATH * ear.sound().rate()));
            List<Event> breaths = apart.breaths(), stops = apart.stops();
            add(Mark.Kind.SIBILANT, sibilants);
            add(Mark.Kind.STOP, stops);
            add(Mark.Kind.BREATH, breaths);
            Lines lines = new Lines(ear.passes().levels(), sibilants, stops, breaths, ear.sound().rate(), Decibels.power(noise), Decibels.power(voice));
            add(Mark.Kind.PHRASE, lines.find(sung));
        });
        return found;
    }

    /** Where a consonant sounds. Of a stop that is its burst: a breath may last until the mouth closes. */
    private List<Event> spoken(List<Event> sibilants, List<Event> stops) {
        List<Event> spoken = new ArrayList<>(sibilants);
        for (Event s : stops) spoken.add(new Event(Math.max(s.from(), s.to() - Math.round(BURST * ear.sound().rate())), s.to(), s.dbfs(), s.confidence()));
        return spoken;
    }

    /** The clicks, which take as long to find as all the rest. */
    List<Mark> clicks() {
        ear.voice().value().ifPresent(voice -> add(Mark.Kind.CLICK, clicks(ear.sung().value().orElseThrow(), voice, ear.noise().value().orElse(SILENT), null)));
        return found;
    }

    private List<Event> clicks(Sung sung, double voice, double noise, Stretches where) {
        List<Event> clicks = new ArrayList<>(Clicks.find(ear, sung, voice, where));
        for (Event e : new LoneClicks(ear.passes().levels(), ear.passes().hiss(), ear.pitch(), sung).find(Decibels.gain(noise), Decibels.gain(voice))) {
            if (clicks.stream().noneMatch(c -> c.from() < e.to() && e.from() < c.to())) clicks.add(e);
        }
        // The bands are heard only where they are needed.
        if (clicks.isEmpty()) return clicks;
        Closures closures = new Closures(ear.passes().strands(), Decibels.power(voice));
        clicks.removeIf(c -> c.confidence() < 1 && closures.hold(c));
        return clicks;
    }

    /** The sibilants of that list alone. */
    List<Mark> sibilants() {
        ear.voice().value().ifPresent(voice -> add(Mark.Kind.SIBILANT, sibilants(voice)));
        return new Marks(found).all();
    }

    private List<Event> sibilants(double voice) {
        return new SibilantEvents(ear.passes().strands(), ear.pitch(), Decibels.power(voice)).find();
    }

    /** The vowel starts of that list alone, which are found in a fraction of the time. */
    List<Mark> vowels() {
        ear.voice().value().ifPresent(voice -> add(Mark.Kind.VOWEL, new VowelStarts(ear.passes().strands(), ear.pitch(), voice).find()));
        return new Marks(found).of(Mark.Kind.VOWEL);
    }

    /** A list holds whole percents, and what is read from it must be what was found. */
    private void add(Mark.Kind kind, List<Event> events) {
        for (Event e : events) found.add(new Mark(kind, e.from(), e.to(), Math.rint(100 * e.confidence()) / 100, false));
    }
}
