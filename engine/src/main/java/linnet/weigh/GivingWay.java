package linnet.weigh;

import java.io.IOException;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.setting.Unit;
import linnet.song.Shift;
import linnet.song.Song;
import linnet.song.Wishes;
import linnet.text.ProblemsException;
import linnet.text.Word;

/** Where a voice sounds, and what becomes softer while it does. */
final class GivingWay {
    private final Weigher weigher;

    GivingWay(Weigher weigher) {
        this.weigher = weigher;
    }

    /** What is measured is measured before anything gives way. */
    static String told(Wishes w, String what) {
        return w.ducks().stream().filter(d -> d.what().text().equals(what))
                .map(d -> ", before it gives way to " + d.from().text() + " by " + Unit.DB.format(d.by(), 1)).collect(Collectors.joining());
    }

    /** With what becomes softer by that. */
    Song ducked(Song song, Map<String, Scale> heard) throws ProblemsException, IOException {
        Map<String, List<Shift.Corner>> ducked = new LinkedHashMap<>();
        for (Wishes.Duck d : song.wishes().ducks()) {
            Presence there = new Presence(sung(song, d.from().text(), heard.get(d.from().text()).frames()));
            ducked.put(d.what().text(), there.ducked(d.by(), d.attack(), d.release()));
            weigher.found(Weighing.Kind.DUCK, d.what().text(), -d.by(), "while " + d.from().text() + " sounds: " + Math.round(there.seconds()) + " s");
        }
        return song.ducking(ducked);
    }

    /** The frames of a part or group in which nobody only breathes: a breath between two lines is no line. As they are where its marks are not known. */
    private double[] sung(Song song, String voice, double[] frames) throws ProblemsException, IOException {
        List<Marks> members = new ArrayList<>();
        List<String> parts = parts(song, voice);
        // What is played does not breathe.
        if (song.instrumental().filter(i -> parts.contains(i.name().text())).isPresent()) return frames;
        for (String part : parts) {
            Optional<Marks> marks = weigher.marks("breaths of " + part, song, part);
            if (marks.isEmpty()) return frames;
            members.add(marks.get());
        }
        double[] sung = frames.clone();
        for (Marks one : members) {
            BitSet breathing = frames(one, Mark.Kind.BREATH, frames.length);
            // Where one breathes another may sing.
            for (Marks other : members) if (other != one) breathing.andNot(frames(other, Mark.Kind.PHRASE, frames.length));
            breathing.stream().forEach(f -> sung[f] = 0);
        }
        return sung;
    }

    /** The parts of a group, or the part itself. */
    private static List<String> parts(Song song, String voice) {
        return song.groups().stream().filter(g -> g.name().text().equals(voice)).findFirst().map(g -> g.parts().stream().map(Word::text).toList())
                .orElse(List.of(voice));
    }

    /** Those that marks of a kind meet. */
    private BitSet frames(Marks marks, Mark.Kind kind, int count) {
        double frame = weigher.rate() * Scale.FRAME_SECONDS;
        BitSet met = new BitSet();
        for (Mark m : marks.of(kind)) {
            int from = (int) Math.max(0, Math.floor(m.from() / frame)), to = (int) Math.min(count, Math.ceil(m.to() / frame));
            if (from < to) met.set(from, to);
        }
        return met;
    }
}
