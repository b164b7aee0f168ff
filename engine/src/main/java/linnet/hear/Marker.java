package linnet.hear;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.Decibels;

/** Finds the marks of a take. */
final class Marker {
    private static final double SHORTEST_BREATH = 0.1;

    private final Ear ear;
    private final List<Mark> found = new ArrayList<>();

    Marker(Ear ear) {
        this.ear = ear;
    }

    /** Each kind has a finder of its own; they share one look at the bands of the take. */
    Marks find() {
        ear.voice().value().ifPresent(voice -> {
            Strands strands = ear.strands();
            List<Event> sibilants = new SibilantEvents(strands, ear.pitch(), Decibels.power(voice)).find();
            List<Event> plosives = new Plosives(strands, Decibels.power(voice)).find();
            add(Mark.Kind.PLOSIVE, plosives);
            add(Mark.Kind.VOWEL, new VowelStarts(strands, ear.pitch(), voice).find());
            double noise = ear.noise().value().orElse(-100.0);
            Sung sung = ear.sung().value().orElseThrow();
            List<Event> clicks = new ArrayList<>(Clicks.find(ear, sung, voice));
            for (Event e : new LoneClicks(ear.hiss(), ear.pitch(), sung).find(Decibels.gain(noise), Decibels.gain(voice))) {
                if (clicks.stream().noneMatch(c -> c.from() < e.to() && e.from() < c.to())) clicks.add(e);
            }
            List<Event> heard = ear.noise().known() ? new Breaths(ear.levels(), ear.hiss(), ear.pitch(), sung, Decibels.power(noise), Decibels.power(voice)).find() : List.of();
            Apart apart = new Apart(heard, sibilants, new Stops(strands, Decibels.gain(noise), Decibels.gain(voice)).find(clicks), Math.round(SHORTEST_BREATH * ear.sound().rate()));
            List<Event> breaths = apart.breaths(), stops = apart.stops();
            add(Mark.Kind.SIBILANT, sibilants);
            add(Mark.Kind.STOP, stops);
            add(Mark.Kind.CLICK, clicks);
            add(Mark.Kind.BREATH, breaths);
            Lines lines = new Lines(ear.levels(), sibilants, stops, breaths, ear.sound().rate(), Decibels.power(noise), Decibels.power(voice));
            add(Mark.Kind.PHRASE, lines.find(sung));
        });
        return new Marks(found);
    }

    /** The vowel starts of that list alone, which are found in a fraction of the time. */
    List<Mark> vowels() {
        ear.voice().value().ifPresent(voice -> add(Mark.Kind.VOWEL, new VowelStarts(ear.strands(), ear.pitch(), voice).find()));
        return new Marks(found).of(Mark.Kind.VOWEL);
    }

    /** A list holds whole percents, and what is read from it must be what was found. */
    private void add(Mark.Kind kind, List<Event> events) {
        for (Event e : events) found.add(new Mark(kind, e.from(), e.to(), Math.rint(100 * e.confidence()) / 100, false));
    }
}
