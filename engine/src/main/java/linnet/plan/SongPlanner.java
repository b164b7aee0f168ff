package linnet.plan;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.chain.Chain;
import linnet.chain.Link;
import linnet.song.Order;
import linnet.song.Song;
import linnet.song.Source;
import linnet.text.Listed;
import linnet.text.ProblemsException;

/** Turns a song into a plan: each part, group and return into a work, and each print into a sum of them. */
public final class SongPlanner {
    /** How long a stopped throw takes to give way: short beside a line, long beside a click. */
    private static final double STOP_SECONDS = 0.3;

    private static final Work.Pan AS_IT_IS = new Work.Pan(true, Work.Course.of(0));

    /**
     * A work and what stands behind it on its way into a sum.
     *
     * @param name what it is called in the song
     * @param sides whether it has two sides of its own
     * @param stop second from which on it gives way; infinite where it does not
     */
    private record Strip(String name, Work work, boolean sides, Song.Fader fader, List<Song.Send> sends, double stop) {}

    /**
     * A return at work.
     *
     * @param name of its work
     * @param word the one that goes into it; empty where it has all that is sent to the return and rings on
     */
    private record ReturnWork(String name, Song.Return of, Optional<Song.Throw> word) {}

    private final Song song;
    private final double rate;
    private final List<Path> takes;
    private final List<Integer> channelsOfTakes;
    private final List<Work> works = new ArrayList<>();
    private final Map<String, Strip> strips = new LinkedHashMap<>();
    /** By the names of their works. */
    private final Map<String, ReturnWork> returnWorks = new LinkedHashMap<>();

    private SongPlanner(Song song, double rate, List<Integer> channelsOfTakes) {
        this.song = song;
        this.rate = rate;
        takes = takes(song).stream().map(Source.Take::path).toList();
        this.channelsOfTakes = channelsOfTakes;
    }

    /** The parts of a song in their order, then the instrumental. */
    public static List<Song.Part> parts(Song song) {
        List<Song.Part> all = new ArrayList<>(song.parts());
        song.instrumental().ifPresent(all::add);
        return all;
    }

    /** All that is done to a part: its own chain, then what its group does to each of its parts, unless the part is excepted. */
    public static Chain chain(Song song, Song.Part part) {
        List<Link> links = new ArrayList<>(part.chain().links());
        links.addAll(song.each(part).links());
        return new Chain(part.chain().title(), part.chain().about(), links);
    }

    /**
     * What of the chain of a part its dry print has: the steps that mend, and a limiter right behind them, which holds what they brought up (decision 0025).
     */
    public static List<Link> mending(List<Link> links) {
        int mends = (int) links.stream().takeWhile(SongPlanner::mends).count();
        boolean held = mends < links.size() && links.get(mends) instanceof Link.Use u && u.step().holdsPeaks();
        return links.subList(0, held ? mends + 1 : mends);
    }

    private static boolean mends(Link link) {
        return link instanceof Link.Use u && u.step().mends();
    }

    /** What mends behind a step that ends the dry print of a part, which therefore goes without: a line for each part that is printed dry. */
    private List<String> unmended() {
        Map<String, String> printed = new LinkedHashMap<>();
        for (Song.Wanted w : song.prints()) if (w.content() instanceof Song.Content.Dry d) printed.putIfAbsent(d.part(), w.called());
        List<String> told = new ArrayList<>();
        printed.forEach((part, called) -> {
            List<Link> links = chain(part).links(), has = mending(links);
            List<String> words = has.stream().map(SongPlanner::word).toList();
            // What was mended before is not missed, however often it is mended again.
            List<String> without = links.stream().skip(has.size()).filter(SongPlanner::mends).filter(l -> !words.contains(word(l))).map(Link::name).distinct()
                    .toList();
            if (without.isEmpty()) return;
            Link end = links.stream().filter(l -> !mends(l)).findFirst().orElseThrow();
            told.add(called + " passes through " + (has.isEmpty() ? "no step" : Listed.of(has.stream().map(Link::name).distinct().toList()) + " alone") + ": '"
                    + end.name() + "' comes before " + Listed.of(without) + "; put it behind those that the print is to have");
        });
        return told;
    }

    private static String word(Link link) {
        return link instanceof Link.Use u ? u.step().word() : "";
    }

    private Chain chain(String part) {
        return parts(song).stream().filter(p -> p.name().text().equals(part)).findFirst().orElseThrow().chain();
    }

    /** The takes that a plan of this song counts, each file once, in the order in which the parts name them. */
    public static List<Source.Take> takes(Song song) {
        Map<Path, Source.Take> byFile = new LinkedHashMap<>();
        for (Song.Part p : parts(song)) p.source().takes().forEach(t -> byFile.putIfAbsent(t.path(), t));
        return List.copyOf(byFile.values());
    }

    /**
     * Plans a song. Note values in its chains follow its tempo; where that changes, each goes by the one that its own chain names.
     *
     * @param channelsOfTakes of each of {@link #takes}
     * @throws ProblemsException if one of its chains cannot be used at this rate
     */
    public static SongPlan plan(Song song, double rate, List<Integer> channelsOfTakes) throws ProblemsException {
        return new SongPlanner(song, rate, channelsOfTakes).plan();
    }

    private SongPlan plan() throws ProblemsException {
        // In the order of the text, whichever is made first.
        for (Song.Part p : parts(song)) strips.put(p.name().text(), null);
        for (Song.Part p : new Order(parts(song)).all()) part(p);
        for (Song.Group g : song.groups()) {
            List<Work.Tap> members = new ArrayList<>();
            for (var name : g.parts()) members.add(tap(strips.get(name.text())));
            work(g.name().text(), g.name().text(), members, g.chain(), g.fader(), g.sends(), Double.POSITIVE_INFINITY);
        }
        // All of them first: no word's own may be called like one that comes later.
        for (Song.Return r : song.returns()) returnWorks.put(r.name().text(), new ReturnWork(r.name().text(), r, Optional.empty()));
        for (Song.Return r : song.returns()) returnWorks(r);
        for (ReturnWork r : returnWorks.values()) {
            work(r.of.name().text(), r.name, fed(r.name).stream().map(Desk.Fed::tap).toList(), r.of.chain(), r.of.fader(), List.of(),
                    r.word.map(Song.Throw::stop).orElse(Double.POSITIVE_INFINITY));
        }
        long least = Math.round(song.time().sections().stream().mapToDouble(x -> song.time().start(x.to())).max().orElse(0) * rate);
        SongPlan plan = new PrintPlanner(new Strips(), rate).plan(least, works);
        List<String> notes = new ArrayList<>(plan.notes());
        notes.addAll(unmended());
        return new SongPlan(rate, plan.least(), plan.works(), plan.buses(), plan.prints(), plan.stems(), notes);
    }

    /**
     * A return is at work once for all that rings on, and once for each word that is stopped: nothing else gives way with that, and it does not come back
     * with the next word. Where nothing rings on, the first of those words has the return itself.
     */
    private void returnWorks(Song.Return of) {
        String name = of.name().text();
        List<Song.Throw> stopped = new ArrayList<>(song.thrown().stream().filter(t -> t.to().text().equals(name) && t.isStopped()).toList());
        boolean rings = song.thrown().stream().anyMatch(t -> t.to().text().equals(name) && !t.isStopped()) || strips.values().stream()
                .anyMatch(s -> s.sends.stream().anyMatch(x -> x.to().text().equals(name)));
        returnWorks.put(name, new ReturnWork(name, of, rings || stopped.isEmpty() ? Optional.empty() : Optional.of(stopped.remove(0))));
        for (Song.Throw t : stopped) {
            String own = name + " for " + t.aim().at().text();
            // A word may be thrown twice, and a part be called like that.
            while (strips.containsKey(own) || returnWorks.containsKey(own)) own += " again";
            returnWorks.put(own, new ReturnWork(own, of, Optional.of(t)));
        }
    }

    /** What flows into a return, by the name of its work. */
    private List<Desk.Fed> fed(String work) {
        ReturnWork own = returnWorks.get(work);
        if (own.word.isPresent()) return List.of(fed(own.word.get()));
        List<Desk.Fed> fed = new ArrayList<>();
        strips.forEach((name, s) -> s.sends.stream().filter(x -> x.to().text().equals(work)).forEach(x -> fed.add(new Desk.Fed(name, false, tap(s, x)))));
        for (Song.Throw t : song.thrown()) if (t.to().text().equals(work) && !t.isStopped()) fed.add(fed(t));
        return fed;
    }

    private Desk.Fed fed(Song.Throw word) {
        return new Desk.Fed(word.part().text(), true, tap(strips.get(word.part().text()), word));
    }

    /** What prints are put together from, each once, however many prints it goes into. */
    private final class Strips implements Desk {
        private final Map<String, Work.Tap> taps = new HashMap<>();
        private final Map<String, List<Fed>> fed = new HashMap<>();

        @Override
        public Song song() {
            return song;
        }

        @Override
        public Work.Tap tap(String name) {
            return taps.computeIfAbsent(name, n -> SongPlanner.this.tap(strips.get(n)));
        }

        @Override
        public Work work(String name) {
            return strips.get(name).work;
        }

        @Override
        public List<Fed> fed(String work) {
            return fed.computeIfAbsent(work, SongPlanner.this::fed);
        }

        @Override
        public List<String> returnWorks() {
            return List.copyOf(returnWorks.keySet());
        }

        @Override
        public List<String> works(String name) {
            List<String> works = returnWorks.values().stream().filter(r -> r.of.name().text().equals(name)).map(ReturnWork::name).toList();
            return works.isEmpty() ? List.of(name) : works;
        }

        @Override
        public Work add(String name, List<Work.Tap> input, int channels, Plan chain, List<List<Work.Tap>> shares) {
            Work work = new Work(works.size(), name, input, channels, chain, shares);
            works.add(work);
            return work;
        }

        @Override
        public Plan mended(String part) throws ProblemsException {
            Chain whole = chain(part);
            return own(part, new Chain(whole.title(), whole.about(), mending(whole.links())));
        }

        @Override
        public Plan untouched(String part) throws ProblemsException {
            return own(part, new Chain("", "", List.of()));
        }

        private Plan own(String part, Chain chain) throws ProblemsException {
            return Planner.ofSong(chain, rate, work(part).channels(), song.time());
        }

        @Override
        public Plan plan(Chain chain) throws ProblemsException {
            return Planner.ofSong(chain, rate, 2, song.time());
        }
    }

    private void part(Song.Part part) throws ProblemsException {
        Work.Source source = cutting().source(part);
        if (part.tidy().isPresent()) source = tidied(part, part.tidy().get(), source);
        boolean played = song.instrumental().filter(i -> i == part).isPresent();
        Work work = add(part.name().text(), List.of(new Work.Tap(source, Work.Course.of(part.into()), AS_IT_IS)), channels(source), chain(song, part), played);
        strips.put(part.name().text(), new Strip(part.name().text(), work, hasSides(source), part.fader(), part.sends(), Double.POSITIVE_INFINITY));
    }

    private Cutting cutting() {
        return new Cutting(rate, takes, song.time(), name -> strips.get(name).work.id());
    }

    /** What a part sings, in the time and as clean as whom it follows needs it: a work of its own, so that a change of its chain leaves it. */
    private Work.Source tidied(Song.Part part, Song.Tidy tidy, Work.Source source) throws ProblemsException {
        Song.Part like = song.parts().stream().filter(p -> p.name().text().equals(tidy.like().text())).findFirst().orElseThrow();
        // A line is parted, and ends, where its singer breathes: who follows it needs to hear that, whether or not it is printed.
        Work.Source cut = cutting().source(like), lead = cut instanceof Work.Source.Edited e ? e.breathing() : cut;
        List<Work.Stretch> except = tidy.except().stream().map(r -> new Work.Stretch(Math.round(r.from() * rate), Math.round(r.to() * rate))).toList();
        Work.Tidying tidying = new Work.Tidying(part.name().text(), like.name().text(), List.of(whole(lead)), channels(lead), tidy.aims(), except);
        Plan nothing = Planner.plan(new Chain("", "", List.of()), rate, channels(source), OptionalDouble.empty());
        Work work = new Work(works.size(), part.name().text() + ", tidied", List.of(whole(source)), channels(source), nothing, List.of(),
                Optional.of(tidying), false);
        works.add(work);
        return new Work.Source.Made(work.id());
    }

    private static Work.Tap whole(Work.Source source) {
        return new Work.Tap(source, Work.Course.of(0), AS_IT_IS);
    }

    /** A sum. While nothing in it is off the centre both its sides are alike, and one is made. */
    private void work(String called, String name, List<Work.Tap> input, Chain chain, Song.Fader fader, List<Song.Send> sends, double stop)
            throws ProblemsException {
        boolean stereo = input.stream().anyMatch(t -> !t.pan().place().isAlways(0) || channels(t) == 2);
        strips.put(name, new Strip(called, add(name, input, stereo ? 2 : 1, chain, false), true, fader, sends, stop));
    }

    /** By the takes that it all comes from, whatever the chains on the way make of them. */
    private boolean hasSides(Work.Source source) {
        if (source instanceof Work.Source.Edited e) return e.pieces().stream().anyMatch(p -> hasSides(p.of()));
        if (source instanceof Work.Source.Made m) return works.get(m.work()).input().stream().anyMatch(t -> hasSides(t.source()));
        return channels(source) == 2;
    }

    private int channels(Work.Tap tap) {
        return channels(tap.source());
    }

    private int channels(Work.Source source) {
        if (source instanceof Work.Source.Take t) return channelsOfTakes.get(t.take());
        if (source instanceof Work.Source.Edited e) return e.pieces().stream().mapToInt(p -> channels(p.of())).max().orElse(1);
        return source instanceof Work.Source.Made m ? works.get(m.work()).chain().output().channels() : 1;
    }

    private Work add(String name, List<Work.Tap> input, int channels, Chain chain, boolean played) throws ProblemsException {
        Plan plan = Planner.ofSong(chain, rate, channels, song.time());
        Work work = new Work(works.size(), name, input, channels, plan, List.of(), Optional.empty(), played);
        works.add(work);
        return work;
    }

    /** At its own level and place. */
    private Work.Tap tap(Strip strip) {
        List<Envelope> level = level(strip);
        if (strip.stop < Double.POSITIVE_INFINITY) level.add(Envelope.gap(strip.stop, STOP_SECONDS, Double.POSITIVE_INFINITY));
        level.addAll(ducked(strip.name));
        return new Work.Tap(new Work.Source.Made(strip.work.id()), Envelope.sum(level, rate), pan(strip));
    }

    /** As much of it as is sent. */
    private Work.Tap tap(Strip strip, Song.Send send) {
        List<Envelope> level = new ArrayList<>(List.of(Envelope.steady(send.level())));
        level.addAll(moves(strip.name, new Song.Fading.Send(send.to()), send.level()));
        if (!send.beforeLevel()) {
            level.addAll(level(strip));
            level.addAll(ducked(strip.name));
        }
        return new Work.Tap(new Work.Source.Made(strip.work.id()), Envelope.sum(level, rate), pan(strip));
    }

    /** The thrown word alone, at the level the part has there. */
    private Work.Tap tap(Strip strip, Song.Throw word) {
        List<Envelope> level = level(strip);
        level.addAll(ducked(strip.name));
        level.add(Envelope.steady(word.level()));
        level.add(Envelope.window(word.from(), word.in(), word.from() + word.length(), word.out()));
        return new Work.Tap(new Work.Source.Made(strip.work.id()), Envelope.sum(level, rate), pan(strip));
    }

    /** Its own level with the moves over it. */
    private List<Envelope> level(Strip strip) {
        List<Envelope> level = new ArrayList<>(List.of(Envelope.steady(strip.fader.level())));
        level.addAll(moves(strip.name, Song.Fading.Own.LEVEL, strip.fader.level()));
        return level;
    }

    /** Where it makes room for something. */
    private List<Envelope> ducked(String name) {
        return Optional.ofNullable(song.ducked().get(name)).map(Envelope::of).stream().toList();
    }

    private Work.Pan pan(Strip strip) {
        return new Work.Pan(strip.sides, Envelope.place(strip.fader.pan(), moves(strip.name, Song.Fading.Own.PAN, strip.fader.pan()), rate));
    }

    private List<Envelope> moves(String what, Song.Fading of, double base) {
        return Envelope.moves(song.moves().stream().filter(m -> m.isOf(what, of)).flatMap(m -> m.shifts(base).stream()).toList());
    }
}
