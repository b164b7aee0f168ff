package linnet.render;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.IntFunction;
import linnet.hear.Ear;
import linnet.hear.LevelBeside;
import linnet.hear.Memory;
import linnet.hear.Remembered;
import linnet.hear.Sung;
import linnet.plan.Work;

/** How loud the takes of a comp are beside each other. */
public final class CompLevels {
    private static final Remembered<List<Optional<LevelBeside>>> FORM = Remembered.list(LevelBeside.FORM);

    private static final String LEVELS = "levels";

    /**
     * A take beside the one that sings most of the comp.
     *
     * @param take its place among the takes of the song
     * @param into dB by which it is made louder in these ranges
     * @param like the place of the other
     * @param ranges where the text has the ranges begin; an empty word for one that begins with the song
     * @param meets samples of the song at which the text has one of the two give way to the other
     */
    public record Beside(String part, int take, double into, int like, List<String> ranges, List<Long> meets, LevelBeside level) {}

    /** What is taken from one take at one level. */
    private record Voice(int take, double into) {}

    /** @param at sample of the song at which the take would begin */
    private record Stretch(Voice voice, long at, Sung.Span span, String where) {
        long length() {
            return span.to() - span.from();
        }
    }

    private final String part;
    private final IntFunction<Ear> ears;
    private final List<Stretch> stretches = new ArrayList<>();
    private final Map<Voice, List<Stretch>> voices = new LinkedHashMap<>();

    /** @param ears on the takes, by their places among those of the song */
    CompLevels(String part, Work.Source.Edited comp, IntFunction<Ear> ears) {
        this.part = part;
        this.ears = ears;
        List<Work.Border> borders = comp.borders();
        for (int i = 0; i < comp.pieces().size(); i++) {
            Work.Piece p = comp.pieces().get(i);
            if (!(p.of() instanceof Work.Source.Take take)) continue;
            long from = i == 0 ? 0 : borders.get(i - 1).at(), to = i == borders.size() ? Long.MAX_VALUE : borders.get(i).at();
            stretches.add(new Stretch(new Voice(take.take(), p.into()), take.at() + p.later(), new Sung.Span(from, to),
                    i == 0 ? "" : borders.get(i - 1).where()));
        }
        for (Stretch s : stretches) voices.computeIfAbsent(s.voice, v -> new ArrayList<>()).add(s);
    }

    /** Whether there is anything to compare. */
    boolean isOfSeveral() {
        return voices.keySet().stream().mapToInt(Voice::take).distinct().count() > 1;
    }

    /** @param memory what was found before of this comp */
    List<Beside> beside(Memory memory) {
        Map<Integer, Ear> heard = new HashMap<>();
        IntFunction<Ear> ear = take -> heard.computeIfAbsent(take, ears::apply);
        Voice most = voices.keySet().stream().max(Comparator.comparingLong(v -> length(v, ear))).orElseThrow();
        List<Voice> others = voices.keySet().stream().filter(v -> v.take != most.take).toList();
        List<Optional<LevelBeside>> levels = memory.recall(LEVELS).flatMap(FORM::read).filter(l -> l.size() == others.size()).orElse(List.of());
        if (levels.isEmpty()) {
            levels = others.stream().map(v -> LevelBeside.of(used(v, most, ear), used(most, v, ear))).toList();
            memory.keep(LEVELS, FORM.write(levels));
        }
        List<Beside> found = new ArrayList<>();
        for (int i = 0; i < others.size(); i++) {
            Voice v = others.get(i);
            levels.get(i).ifPresent(level -> found.add(new Beside(part, v.take, v.into, most.take, voices.get(v).stream().map(Stretch::where).toList(),
                    meetings(v, most).stream().map(s -> s.span.from()).toList(), level)));
        }
        return found;
    }

    private long length(Voice voice, IntFunction<Ear> ear) {
        long frames = ear.apply(voice.take).sound().frames();
        return voices.get(voice).stream().mapToLong(s -> Math.min(s.span.to(), s.at + frames) - s.span.from()).sum();
    }

    /** As a voice lies where it meets another, if it does: what is cut out moves all that comes after it. */
    private LevelBeside.Used used(Voice voice, Voice other, IntFunction<Ear> ear) {
        List<Stretch> own = voices.get(voice);
        Stretch at = own.get(0);
        for (Stretch s : meetings(voice, other)) at = s.voice.equals(voice) ? s : before(s);
        return new LevelBeside.Used(ear.apply(voice.take), at.at, voice.into, own.stream().map(Stretch::span).toList());
    }

    /** The stretches of one that come right after one of the other. */
    private List<Stretch> meetings(Voice one, Voice other) {
        return stretches.stream().filter(s -> {
            Stretch before = before(s);
            return before != null && (s.voice.equals(one) && before.voice.equals(other) || s.voice.equals(other) && before.voice.equals(one));
        }).toList();
    }

    /** The stretch that ends where this begins; null where there is silence. */
    private Stretch before(Stretch of) {
        int i = stretches.indexOf(of);
        return i > 0 && stretches.get(i - 1).span.to() == of.span.from() ? stretches.get(i - 1) : null;
    }
}
