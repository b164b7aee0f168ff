package linnet.render;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
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
    private static final class Voice {
        final int take;
        final double into;
        final List<Stretch> stretches = new ArrayList<>();

        Voice(int take, double into) {
            this.take = take;
            this.into = into;
        }
    }

    /**
     * @param at sample of the song at which the take would begin
     * @param before the stretch that ends where this begins; null where there is silence
     */
    private record Stretch(Voice voice, long at, Sung.Span span, String where, Stretch before) {
        /** Whether one of the two voices gives way to the other here. */
        boolean isMeeting(Voice one, Voice other) {
            return before != null && (voice == one && before.voice == other || voice == other && before.voice == one);
        }
    }

    private final String part;
    private final IntFunction<Ear> ears;
    private final List<Stretch> stretches = new ArrayList<>();
    private final List<Voice> voices = new ArrayList<>();

    /** @param ears on the takes, by their places among those of the song */
    CompLevels(String part, Work.Source.Edited comp, IntFunction<Ear> ears) {
        this.part = part;
        this.ears = ears;
        List<Work.Border> borders = comp.borders();
        Stretch last = null;
        for (int i = 0; i < comp.pieces().size(); i++) {
            Work.Piece p = comp.pieces().get(i);
            if (!(p.of() instanceof Work.Source.Take take)) continue;
            long from = i == 0 ? 0 : borders.get(i - 1).at(), to = i == borders.size() ? Long.MAX_VALUE : borders.get(i).at();
            Voice voice = voice(take.take(), p.into());
            last = new Stretch(voice, take.at() + p.later(), new Sung.Span(from, to), i == 0 ? "" : borders.get(i - 1).where(),
                    last != null && last.span.to() == from ? last : null);
            voice.stretches.add(last);
            stretches.add(last);
        }
    }

    private Voice voice(int take, double into) {
        for (Voice v : voices) if (v.take == take && v.into == into) return v;
        Voice voice = new Voice(take, into);
        voices.add(voice);
        return voice;
    }

    /** Whether there is anything to compare. */
    boolean isOfSeveral() {
        return voices.stream().mapToInt(v -> v.take).distinct().count() > 1;
    }

    /** @param memory what was found before of this comp */
    List<Beside> beside(Memory memory) {
        Map<Integer, Ear> heard = new HashMap<>();
        IntFunction<Ear> ear = take -> heard.computeIfAbsent(take, ears::apply);
        Voice most = voices.stream().max(Comparator.comparingLong(v -> length(v, ear))).orElseThrow();
        List<Voice> others = voices.stream().filter(v -> v.take != most.take).toList();
        List<Optional<LevelBeside>> levels = memory.recall(LEVELS).flatMap(FORM::read).filter(l -> l.size() == others.size()).orElse(List.of());
        if (levels.isEmpty()) {
            levels = others.stream().map(v -> LevelBeside.of(used(v, most, ear), used(most, v, ear))).toList();
            memory.keep(LEVELS, FORM.write(levels));
        }
        List<Beside> found = new ArrayList<>();
        for (int i = 0; i < others.size(); i++) {
            Voice v = others.get(i);
            levels.get(i).ifPresent(level -> found.add(new Beside(part, v.take, v.into, most.take, v.stretches.stream().map(Stretch::where).toList(),
                    meetings(v, most).stream().map(s -> s.span.from()).toList(), level)));
        }
        return found;
    }

    private long length(Voice voice, IntFunction<Ear> ear) {
        long frames = ear.apply(voice.take).sound().frames();
        return voice.stretches.stream().mapToLong(s -> Math.min(s.span.to(), s.at + frames) - s.span.from()).sum();
    }

    /** As a voice lies where it meets another, if it does: what is cut out moves all that comes after it. */
    private LevelBeside.Used used(Voice voice, Voice other, IntFunction<Ear> ear) {
        Stretch at = voice.stretches.get(0);
        for (Stretch s : meetings(voice, other)) at = s.voice == voice ? s : s.before;
        return new LevelBeside.Used(ear.apply(voice.take), at.at, voice.into, voice.stretches.stream().map(Stretch::span).toList());
    }

    /** The stretches of one that come right after one of the other. */
    private List<Stretch> meetings(Voice one, Voice other) {
        return stretches.stream().filter(s -> s.isMeeting(one, other)).toList();
    }
}
