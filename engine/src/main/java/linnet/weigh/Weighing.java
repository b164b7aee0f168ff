package linnet.weigh;

import java.io.IOException;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import linnet.chain.Reach;
import linnet.dsp.Decibels;
import linnet.hear.Mark;
import linnet.hear.Marks;
import linnet.plan.Planner;
import linnet.plan.SongPlan;
import linnet.plan.SongPlanner;
import linnet.setting.Unit;
import linnet.setting.Value;
import linnet.song.Shift;
import linnet.song.Song;
import linnet.song.Wishes;
import linnet.step.Prepared;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.Word;

/**
 * Turns what a song wants by ear into levels, before it is planned: parts and groups are heard by themselves at their base, without moves, in the places where
 * both of two sound; so a move comes on top and is none of what is measured. Then the song is one with numbers only.
 */
public final class Weighing {
    /** Renders songs for this. */
    public interface Scales extends Aiming.Ears {
        /**
         * Renders the prints of a plan and hears each, by its name.
         *
         * @param question what stands for this among all that is asked of the song
         */
        Map<String, Scale> weigh(String question, Aiming.Planned plan) throws ProblemsException, IOException;
    }

    /**
     * What was found.
     *
     * @param what moved by it: "lead", "lead to plate", "mix"
     * @param value its level
     * @param why what is wanted, and where it was measured
     */
    public record Found(String what, String value, String why) {}

    /** Two sides that differ by no more than this, in dB, are level. Common practice. */
    private static final double LEVEL_SIDES = 0.5;
    /** More than this lost in loudness, in LU, is heard as squashed; common practice. And how near the loudness of a mix, or of a return, must come. */
    private static final double MOST_LOST = 2, WANTED_NEAR = 0.2;

    private final double rate;
    private final List<Integer> channelsOfTakes;
    private final Scales scales;
    private final Problems problems = new Problems();
    private final List<Found> found = new ArrayList<>();
    private OptionalDouble turned = OptionalDouble.empty();
    private Song song;

    /**
     * Weighs at once.
     *
     * @param channelsOfTakes as for {@link SongPlanner#plan}
     */
    public Weighing(Song song, double rate, List<Integer> channelsOfTakes, Scales scales) throws ProblemsException, IOException {
        this(song, rate, channelsOfTakes, scales, OptionalDouble.empty());
    }

    /** @param turned by how many dB the mix is turned up to be as loud as is wanted, where that need not be measured */
    public Weighing(Song song, double rate, List<Integer> channelsOfTakes, Scales scales, OptionalDouble turned) throws ProblemsException, IOException {
        this.song = song;
        this.rate = rate;
        this.channelsOfTakes = channelsOfTakes;
        this.scales = scales;
        Wishes w = song.wishes();
        if (w.isEmpty() && spread().isEmpty()) return;
        Map<String, Scale> heard = heard(w);
        balance(w, heard);
        problems.check();
        for (Wishes.Wet wet : w.wet()) wet(wet);
        problems.check();
        duck(w, heard);
        if (w.loud().isPresent() && turned.isPresent()) this.song = turned(turned.getAsDouble(), w.loud().get());
        else if (w.loud().isPresent()) loud(w.loud().get());
        sides(heard);
        problems.check();
    }

    /** The song with levels where it had wishes. */
    public Song song() {
        return song;
    }

    /** By how many dB the mix is turned up to be as loud as is wanted; empty where nothing is. */
    public OptionalDouble turned() {
        return turned;
    }

    public List<Found> found() {
        return found;
    }

    private Map<String, Scale> heard(Wishes w) throws ProblemsException, IOException {
        Set<String> names = new LinkedHashSet<>();
        w.balance().forEach(b -> names.addAll(List.of(b.what().text(), b.against().text())));
        w.ducks().forEach(d -> names.add(d.from().text()));
        names.addAll(spread());
        return names.isEmpty() ? Map.of() : weigh("strips", song.still().printing(names.stream().map(n -> strip(n, n)).toList()));
    }

    /** Groups whose layers are dealt to both sides. */
    private List<String> spread() {
        return song.groups().stream().filter(g -> g.spread().isPresent()).map(g -> g.name().text()).toList();
    }

    /** An even number of layers on each side says nothing of how loud they are. */
    private void sides(Map<String, Scale> heard) {
        for (String group : spread()) {
            double left = heard.get(group).left();
            String more = Unit.DB.format(Math.abs(left), 1);
            if (Math.abs(left) <= LEVEL_SIDES) found.add(new Found(group, more, "of energy between left and right"));
            else found.add(new Found(group, more, "more energy on the " + (left > 0 ? "left" : "right") + ": lower a layer there, or raise one on the other side"));
        }
    }

    private Map<String, Scale> weigh(String question, Song what) throws ProblemsException, IOException {
        return scales.weigh(question, () -> SongPlanner.plan(what, rate, channelsOfTakes));
    }

    private Song.Wanted strip(String name, String called) {
        Word word = song.parts().get(0).name();
        return new Song.Wanted(word, new Song.Content.Strip(name), called, Optional.empty(), Optional.empty());
    }

    /** Each level, once that which it is stated against has its own. */
    private void balance(Wishes w, Map<String, Scale> heard) {
        Map<String, Wishes.Balance> open = new LinkedHashMap<>();
        w.balance().forEach(b -> open.put(b.what().text(), b));
        Map<String, Double> levels = new HashMap<>();
        while (!open.isEmpty()) {
            Wishes.Balance b = open.values().stream().filter(x -> !open.containsKey(x.against().text())).findFirst().orElseThrow();
            String what = b.what().text(), other = b.against().text();
            open.remove(what);
            Scale.Balance now = heard.get(what).over(heard.get(other));
            if (Double.isNaN(now.lu())) {
                problems.report(b.what().at(), "'" + what + "' and '" + other + "' never sound together: give '" + what + "' a level");
                levels.put(what, 0.0);
                continue;
            }
            double level = Decibels.tenths(b.lu() - now.lu() + levels.getOrDefault(other, 0.0));
            levels.put(what, level);
            check(b.what(), level, what);
            found.add(new Found(what, Unit.DB.format(level, 1), distance(b.lu()) + " " + other + ", where both sound: " + Math.round(now.seconds()) + " s" + givingWay(w, what)));
        }
        song = levelled(song, name -> levels.containsKey(name) ? OptionalDouble.of(levels.get(name)) : OptionalDouble.empty());
    }

    private void check(Word at, double level, String what) {
        if (level < Trials.LEAST_LEVEL || level > Trials.MOST_LEVEL) problems.report(at.at(), "'" + what + "' would need a level of " + Unit.DB.format(level, 1) + ": outside -90 dB … 24 dB");
    }

    /** What is measured is measured before anything gives way. */
    private static String givingWay(Wishes w, String what) {
        return w.ducks().stream().filter(d -> d.what().text().equals(what)).map(d -> ", before it gives way to " + d.from().text() + " by " + Unit.DB.format(d.by(), 1)).collect(Collectors.joining());
    }

    private static String distance(double lu) {
        return Unit.PLAIN.format(Math.abs(lu), 2) + " LU " + (lu < 0 ? "under" : "over");
    }

    private static Song levelled(Song song, Function<String, OptionalDouble> levels) {
        Function<Song.Part, Song.Part> part = p -> levels.apply(p.name().text()).isPresent() ? p.with(new Song.Fader(levels.apply(p.name().text()).getAsDouble(), p.fader().pan()), p.sends()) : p;
        return song.with(song.parts().stream().map(part).toList(), song.instrumental().map(part),
                song.groups().stream().map(g -> levels.apply(g.name().text()).isPresent() ? g.with(new Song.Fader(levels.apply(g.name().text()).getAsDouble(), g.fader().pan()), g.sends()) : g).toList(), song.returns());
    }

    /** What one sender alone makes sound in the return, against the sender. */
    private void wet(Wishes.Wet wish) throws ProblemsException, IOException {
        String from = wish.from().text(), to = wish.to().text();
        Song still = song.still();
        Song.Return room = still.returns().stream().filter(r -> r.name().text().equals(to)).findFirst().orElseThrow();
        Song.Send send = sends(song).filter(s -> s.from.equals(from) && s.send.to().text().equals(to)).findFirst().orElseThrow().send;
        boolean linear = isLinear(room);
        Trials trials = new Trials();
        double level = send.level();
        for (OptionalDouble next = OptionalDouble.of(level); next.isPresent(); ) {
            double now = next.getAsDouble();
            Song alone = sending(still, (name, s) -> name.equals(from) && s.to().text().equals(to) ? Optional.of(new Song.Send(s.to(), now, s.beforeLevel())) : Optional.empty());
            alone = alone.with(alone.parts(), alone.instrumental(), alone.groups(), List.of(room));
            Map<String, Scale> heard = weigh(from + " to " + to + ", trial " + (trials.count() + 1), alone.printing(List.of(strip(from, "dry"), strip(to, "wet"))));
            double dry = heard.get("dry").integrated(), wet = heard.get("wet").integrated();
            if (!Double.isFinite(dry) || !Double.isFinite(wet) && trials.count() == 0) {
                problems.report(wish.to().at(), "what '" + from + "' makes sound in '" + to + "' is too soft to be measured; give the send a level in dB");
                return;
            }
            double miss = dry + wish.lu() - wet;
            next = trials.after(now, miss);
            level = trials.best().level();
            // Where the return is linear the first trial says it all.
            if (!linear) continue;
            level = Decibels.tenths(now + miss);
            break;
        }
        double miss = trials.best().miss();
        if (!linear && Math.abs(miss) > WANTED_NEAR) {
            String nearest = Unit.PLAIN.format(Math.abs(wish.lu() - miss), 1) + " LU " + (wish.lu() < miss ? "under" : "over");
            problems.report(wish.to().at(), "'" + to + "' comes no nearer to " + distance(wish.lu()) + " '" + from + "' than " + nearest + ", with a send of " + Unit.DB.format(level, 1) + ": write that, or another level");
        }
        check(wish.to(), level, from + "' to '" + to);
        double found = level;
        song = sending(song, (name, s) -> Optional.of(name.equals(from) && s.to().text().equals(to) ? new Song.Send(s.to(), found, s.beforeLevel()) : s));
        this.found.add(new Found(from + " to " + to, Unit.DB.format(level, 1), distance(wish.lu()) + " " + from + givingWay(song.wishes(), to)));
    }

    private boolean isLinear(Song.Return room) throws ProblemsException {
        return Planner.plan(room.chain(), rate, 2, song.time().steadyBpm()).steps().stream().map(n -> n.work().orElseThrow())
                .allMatch(s -> s.prepared().sharing() == Prepared.Sharing.LINEAR);
    }

    private record Sent(String from, Song.Send send) {}

    private static Stream<Sent> sends(Song song) {
        return Stream.concat(SongPlanner.parts(song).stream().flatMap(p -> p.sends().stream().map(s -> new Sent(p.name().text(), s))), song.groups().stream().flatMap(g -> g.sends().stream().map(s -> new Sent(g.name().text(), s))));
    }

    private interface Sending {
        Optional<Song.Send> of(String from, Song.Send send);
    }

    private static Song sending(Song song, Sending other) {
        Function<Song.Part, Song.Part> part = p -> p.with(p.fader(), p.sends().stream().flatMap(s -> other.of(p.name().text(), s).stream()).toList());
        return song.with(song.parts().stream().map(part).toList(), song.instrumental().map(part),
                song.groups().stream().map(g -> g.with(g.fader(), g.sends().stream().flatMap(s -> other.of(g.name().text(), s).stream()).toList())).toList(), song.returns());
    }

    private void duck(Wishes w, Map<String, Scale> heard) throws ProblemsException, IOException {
        Map<String, List<Shift.Corner>> ducked = new LinkedHashMap<>();
        for (Wishes.Duck d : w.ducks()) {
            Presence there = new Presence(sung(d.from().text(), heard.get(d.from().text()).frames()));
            ducked.put(d.what().text(), there.ducked(d.by(), d.attack(), d.release()));
            found.add(new Found(d.what().text(), Unit.DB.format(-d.by(), 1), "while " + d.from().text() + " sounds: " + Math.round(there.seconds()) + " s"));
        }
        song = song.ducking(ducked);
    }

    /** The frames of a part or group in which nobody only breathes: a breath between two lines is no line. As they are where its marks are not known. */
    private double[] sung(String voice, double[] frames) throws ProblemsException, IOException {
        List<Marks> members = new ArrayList<>();
        List<String> parts = parts(voice);
        // What is played does not breathe.
        if (song.instrumental().filter(i -> parts.contains(i.name().text())).isPresent()) return frames;
        for (String part : parts) {
            Optional<Marks> marks = scales.marks("breaths of " + part, () -> SongPlanner.plan(song.still(), rate, channelsOfTakes), part);
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
    private List<String> parts(String voice) {
        return song.groups().stream().filter(g -> g.name().text().equals(voice)).findFirst().map(g -> g.parts().stream().map(Word::text).toList()).orElse(List.of(voice));
    }

    /** Those that marks of a kind meet. */
    private BitSet frames(Marks marks, Mark.Kind kind, int count) {
        double frame = rate * Scale.FRAME_SECONDS;
        BitSet met = new BitSet();
        for (Mark m : marks.of(kind)) {
            int from = (int) Math.max(0, Math.floor(m.from() / frame)), to = (int) Math.min(count, Math.ceil(m.to() / frame));
            if (from < to) met.set(from, to);
        }
        return met;
    }

    /** Turns the mix up into its limiter until it is as loud as is wanted. */
    private void loud(Wishes.Loud wish) throws ProblemsException, IOException {
        double before = Double.NaN;
        Trials trials = new Trials();
        for (OptionalDouble next = OptionalDouble.of(0); next.isPresent(); ) {
            double gain = next.getAsDouble();
            double lufs = weigh("mix, trial " + trials.count(), turned(gain, wish).printing(List.of(new Song.Wanted(wish.at(), new Song.Content.Mix(true), "mix", Optional.empty(), Optional.empty())))).get("mix").integrated();
            if (!Double.isFinite(lufs)) {
                problems.report(wish.at().at(), "the mix is silent, or too short to have a loudness");
                return;
            }
            if (trials.count() == 0) before = lufs;
            next = trials.after(gain, wish.lufs() - lufs);
        }
        double gain = trials.best().level(), miss = trials.best().miss(), lufs = wish.lufs() - miss, lost = before + gain - lufs;
        song = turned(gain, wish);
        turned = OptionalDouble.of(gain);
        found.add(new Found("mix", Unit.DB.format(gain, 1), Unit.PLAIN.format(lufs, 1) + " LUFS" + (lost > 0.05 ? ", of which limiting takes " + Unit.PLAIN.format(lost, 1) + " LU" : "")));
        if (Math.abs(miss) > WANTED_NEAR) problems.report(wish.at().at(), "the limiter gives no more than " + Unit.PLAIN.format(lufs, 1) + " LUFS under " + Unit.DBTP.format(wish.ceiling()) + ": wish for less, or even out what is loud before it");
        else if (lost > MOST_LOST) found.add(new Found("mix", "limited hard", "it loses " + Unit.PLAIN.format(lost, 1) + " LU in its limiter; softer, or with its peaks evened out before, it would sound as loud and less squashed"));
    }

    private Song turned(double gain, Wishes.Loud wish) {
        Reach reach = new Reach(song.mix(), problems);
        Optional<Reach.Found> level = reach.find("loudness level", wish.at().at());
        return level.map(l -> song.with(reach.with(l, new Value.Amount(Math.max(-60, gain)), wish.at().at()))).orElse(song);
    }
}
