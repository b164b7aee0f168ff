package linnet.hear;

import java.util.ArrayList;
import java.util.List;
import linnet.dsp.Decibels;

/** Finds the marks of a take. */
final class Marker {
    private final Ear ear;
    private final List<Mark> found = new ArrayList<>();

    Marker(Ear ear) {
        this.ear = ear;
    }

    /** Reads the take once more, for what lies above the voice. */
    Marks find() {
        Hiss hiss = ear.hiss();
        ear.sung().value().ifPresent(sung -> sung.spans().forEach(s -> found.add(new Mark(Mark.Kind.PHRASE, s.from(), s.to(), 1, false))));
        ear.voice().value().ifPresent(voice -> {
            add(Mark.Kind.SIBILANT, SibilantEvents.find(ear.levels(), hiss, ear.pitch(), Decibels.power(voice)));
            found.addAll(Clicks.find(ear, ear.sung().value().orElseThrow(), voice));
            ear.noise().value().ifPresent(noise -> {
                add(Mark.Kind.BREATH, new Breaths(ear.levels(), hiss, ear.pitch(), ear.sung().value().orElseThrow(), Decibels.power(noise), Decibels.power(voice)).find());
            });
        });
        return new Marks(found);
    }

    private void add(Mark.Kind kind, List<Event> events) {
        for (Event e : events) found.add(new Mark(kind, e.from(), e.to(), e.confidence(), false));
    }
}
