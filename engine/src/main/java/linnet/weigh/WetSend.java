package linnet.weigh;

import java.io.IOException;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Function;
import java.util.stream.Stream;
import linnet.dsp.Decibels;
import linnet.plan.Planner;
import linnet.plan.SongPlanner;
import linnet.setting.Unit;
import linnet.song.Song;
import linnet.song.Wishes;
import linnet.step.Prepared;
import linnet.text.ProblemsException;

/** The level of a send whose return is to be so much softer or louder than who sends. */
final class WetSend {
    private final Weigher weigher;
    private final Wishes.Wet wish;

    WetSend(Weigher weigher, Wishes.Wet wish) {
        this.weigher = weigher;
        this.wish = wish;
    }

    /** With that level: what one sender alone makes sound in the return is measured against the sender. */
    Song sent(Song song) throws ProblemsException, IOException {
        String from = wish.from().text(), to = wish.to().text();
        Song still = song.still();
        Song.Return into = still.returns().stream().filter(r -> r.name().text().equals(to)).findFirst().orElseThrow();
        Song.Send send = sends(song).filter(s -> s.from.equals(from) && s.send.to().text().equals(to)).findFirst().orElseThrow().send;
        boolean linear = isLinear(song, into);
        Trials trials = new Trials();
        double level = send.level();
        for (OptionalDouble next = OptionalDouble.of(level); next.isPresent(); ) {
            double now = next.getAsDouble();
            Song alone = sending(still, (name, s) -> name.equals(from) && s.to().text().equals(to) ? Optional.of(new Song.Send(s.to(), now, s.beforeLevel()))
                    : Optional.empty());
            alone = alone.with(alone.parts(), alone.instrumental(), alone.groups(), List.of(into));
            Map<String, Scale> heard = weigher.weigh(from + " to " + to + ", trial " + (trials.count() + 1),
                    alone.printing(List.of(Weigher.strip(song, from, "dry"), Weigher.strip(song, to, "wet"))));
            double dry = heard.get("dry").integrated(), wet = heard.get("wet").integrated();
            if (!Double.isFinite(dry) || !Double.isFinite(wet) && trials.count() == 0) {
                weigher.problems().report(wish.to().at(),
                        "what '" + from + "' makes sound in '" + to + "' is too soft to be measured; give the send a level in dB");
                return song;
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
        if (!linear && Math.abs(miss) > Trials.WANTED_NEAR) {
            String nearest = Unit.PLAIN.format(Math.abs(wish.lu() - miss), 1) + " LU " + (wish.lu() < miss ? "under" : "over");
            weigher.problems().report(wish.to().at(), "'" + to + "' comes no nearer to " + wish.words() + " '" + from + "' than " + nearest
                    + ", with a send of " + Unit.DB.format(level, 1) + ": write that, or another level");
        }
        weigher.checkLevel(wish.to(), level, from + "' to '" + to);
        double found = level;
        weigher.found(Weighing.Kind.SEND, from + " to " + to, level, wish.words() + " " + from + GivingWay.told(song.wishes(), to));
        return sending(song, (name, s) -> Optional.of(name.equals(from) && s.to().text().equals(to) ? new Song.Send(s.to(), found, s.beforeLevel()) : s));
    }

    private boolean isLinear(Song song, Song.Return of) throws ProblemsException {
        return Planner.plan(of.chain(), weigher.rate(), 2, song.time().steadyBpm()).steps().stream().map(n -> n.work().orElseThrow())
                .allMatch(s -> s.prepared().sharing() == Prepared.Sharing.LINEAR);
    }

    private record Sent(String from, Song.Send send) {}

    private static Stream<Sent> sends(Song song) {
        return Stream.concat(SongPlanner.parts(song).stream().flatMap(p -> p.sends().stream().map(s -> new Sent(p.name().text(), s))),
                song.groups().stream().flatMap(g -> g.sends().stream().map(s -> new Sent(g.name().text(), s))));
    }

    private interface Sending {
        Optional<Song.Send> of(String from, Song.Send send);
    }

    private static Song sending(Song song, Sending other) {
        Function<Song.Part, Song.Part> part = p -> p.with(p.fader(), p.sends().stream().flatMap(s -> other.of(p.name().text(), s).stream()).toList());
        return song.with(song.parts().stream().map(part).toList(), song.instrumental().map(part),
                song.groups().stream().map(g -> g.with(g.fader(), g.sends().stream().flatMap(s -> other.of(g.name().text(), s).stream()).toList())).toList(),
                        song.returns());
    }
}
