package linnet.deliver;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Predicate;
import linnet.audio.SampleFormat;
import linnet.audio.WavFile;
import linnet.chain.Link;
import linnet.dsp.Decibels;
import linnet.dsp.loudness.FoldDown;
import linnet.plan.SongPlan;
import linnet.render.Remainder;
import linnet.render.Renderer;
import linnet.setting.Unit;
import linnet.song.Song;

/**
 * Checks of prints before they are handed over. The limits are those that hand-overs are commonly held to; what is beyond one fails the render,
 * unless the song accepts it.
 */
public final class Delivery {
    /** In dBFS: a start or end as loud as this is a click or a cut; below lies the room of a take, as far as it can be heard. Judgement. */
    public static final double CLICK_DBFS = -40;
    /** In dB: a band that loses more in mono is gone. */
    private static final double MOST_LOST = 6;
    /** The largest sample that stems may differ from the mix by, in dBFS: rounding to floats, and the dither of integers; and what a bit less adds. */
    private static final double FLOAT = -120, INT_24 = -110, BIT = 6.0206;
    /** Stems whose dither stays within that; of more it adds up to more. */
    private static final int MANY = 64;
    /** In dBTP: the usual ceiling for what is to be coded. */
    private static final double USUAL_CEILING = -1;

    /**
     * One of them.
     *
     * @param state how it went
     */
    public record Finding(Song.Check check, State state, String text) {}

    /** How a check goes. */
    public enum State {
        KEPT("kept"), TOLD("told"), ACCEPTED("accepted"), BROKEN("broken");

        private final String word;

        State(String word) {
            this.word = word;
        }

        public String word() {
            return word;
        }
    }

    private final Song song;
    private final SongPlan plan;
    private final Map<String, PrintFile> prints;
    private final Map<String, WantedPrint.There> left;
    private final List<Finding> findings = new ArrayList<>();

    /**
     * @param prints sealed, by name
     * @param left prints that were there, and were checked when they were written
     */
    public Delivery(Song song, SongPlan plan, Map<String, PrintFile> prints, Map<String, WantedPrint.There> left) {
        this.song = song;
        this.plan = plan;
        this.prints = prints;
        this.left = left;
    }

    /**
     * All of them, in order.
     *
     * @param jobs stretches of the files that may be read at once
     * @throws IOException where one of the files cannot be read again
     */
    public List<Finding> findings(int jobs) throws IOException {
        if (prints.isEmpty()) return findings;
        Map<String, Long> frames = new LinkedHashMap<>();
        List<PrintFile> whole = new ArrayList<>();
        for (Song.Wanted w : song.prints()) {
            if (w.range().isPresent()) continue;
            if (left.containsKey(w.called())) frames.put(w.called(), left.get(w.called()).frames());
            if (!prints.containsKey(w.called())) continue;
            whole.add(prints.get(w.called()));
            frames.put(w.called(), prints.get(w.called()).frames());
        }
        lengths(frames);
        whole.forEach(this::tails);
        rooms(whole);
        Optional<PrintFile> mix = find(w -> isMix(w, true)), bare = find(w -> isMix(w, false));
        if (mix.isPresent()) stems(mix.get(), true, jobs);
        if (bare.isPresent()) stems(bare.get(), false, jobs);
        for (Song.Wanted w : song.prints()) {
            boolean bus = w.content() instanceof Song.Content.Mix m && m.bus() || w.content() instanceof Song.Content.Turned;
            boolean alternate = w.content() instanceof Song.Content.Without || w.content() instanceof Song.Content.Vocals v && v.bus();
            if (bus && prints.containsKey(w.called())) peak(prints.get(w.called()));
            if (alternate && prints.containsKey(w.called())) alternatePeak(prints.get(w.called()));
        }
        mix.ifPresent(this::sides);
        mix.ifPresent(this::mono);
        return findings;
    }

    private Optional<PrintFile> find(Predicate<Song.Wanted> which) {
        return song.prints().stream().filter(which).map(w -> prints.get(w.called())).filter(Objects::nonNull).findFirst();
    }

    private void add(Song.Check check, boolean kept, String text, Object... values) {
        State broken = song.label().checks().accepted().contains(check) ? State.ACCEPTED : State.BROKEN;
        findings.add(new Finding(check, kept ? State.KEPT : broken, String.format(Locale.ROOT, text, values)));
    }

    private static String level(double db, String form, String nothing) {
        return db == Double.NEGATIVE_INFINITY ? nothing : String.format(Locale.ROOT, form, db);
    }

    private void lengths(Map<String, Long> frames) {
        if (frames.isEmpty()) return;
        long length = frames.values().iterator().next();
        List<String> others = frames.keySet().stream().filter(p -> frames.get(p) != length).toList();
        add(Song.Check.LENGTHS, others.isEmpty(), "%s", others.isEmpty() ? "all prints but stretches have " + length + " samples"
                : "of another length than the rest: " + String.join(", ", others));
    }

    private static String name(PrintFile p) {
        return p.path().getFileName().toString();
    }

    private void tails(PrintFile p) {
        end(p.firstDbfs(), name(p) + " begins", "it clicks, or lacks its first consonant; begin the take later with 'at:', or fade it in");
        end(p.lastDbfs(), name(p) + " ends", "its tail is cut");
    }

    private void end(double dbfs, String what, String wrong) {
        if (dbfs >= CLICK_DBFS) add(Song.Check.TAILS, false, "%s at %.1f dBFS: %s", what, dbfs, wrong);
    }

    private void rooms(List<PrintFile> whole) {
        List<Double> heard = new ArrayList<>();
        for (PrintFile p : whole) {
            double most = Math.max(p.firstDbfs(), p.lastDbfs());
            if (most >= Renderer.QUIET_DBFS && most < CLICK_DBFS) heard.add(most);
        }
        if (heard.isEmpty()) return;
        double most = heard.stream().mapToDouble(d -> d).max().orElseThrow();
        String text = heard.size() == 1 ? "a print begins or ends in the room of a take, at %.1f dBFS"
                : heard.size() + " prints begin or end in the room of a take, at %.1f dBFS or less";
        findings.add(new Finding(Song.Check.TAILS, State.TOLD, String.format(Locale.ROOT, text, most)));
    }

    /** @param bus whether they went through the chain of the mix, as that did */
    private void stems(PrintFile mix, boolean bus, int jobs) throws IOException {
        List<Piece> stems = stems(bus);
        if (stems.isEmpty()) return;
        double limit = limit(mix, stems), difference = difference(mix, stems, jobs);
        boolean one = stems.size() == 1;
        String without = bus ? "" : " without bus";
        add(Song.Check.STEMS, difference <= limit, "%s%s %s the mix%s %s (%.0f dBFS or less is wanted)",
                one ? "1 stem" : stems.size() + " stems", without, one ? "makes" : "add up to", without,
                level(difference, "within %.1f dBFS", "to the bit"), limit);
    }

    /** Files that add up to the mix, by their names: all stems where all and the mix are printed, if they were found to do so; else none. */
    public List<String> addingUp(List<Finding> findings) {
        boolean mix = song.prints().stream().anyMatch(w -> isMix(w, true));
        boolean differ = findings.stream().anyMatch(f -> f.check() == Song.Check.STEMS && f.state() != State.KEPT);
        return mix && !differ ? stems(true).stream().map(s -> s.name.getFileName().toString()).toList() : List.of();
    }

    private static boolean isMix(Song.Wanted w, boolean bus) {
        return w.content().equals(new Song.Content.Mix(bus)) && w.range().isEmpty();
    }

    /** All of them; none where not all are printed. */
    private List<Piece> stems(boolean bus) {
        List<Piece> stems = new ArrayList<>();
        for (String stem : plan.stems()) piece(w -> w.content().equals(new Song.Content.Strip(stem, bus)) && w.range().isEmpty()).ifPresent(stems::add);
        return stems.size() < plan.stems().size() ? List.of() : stems;
    }

    /**
     * A file that can be read.
     *
     * @param name that it has once it is handed over
     * @param file where it lies before that
     */
    private record Piece(Path name, Path file, SampleFormat format) {}

    private Optional<Piece> piece(Predicate<Song.Wanted> which) {
        Optional<PrintFile> made = find(which);
        if (made.isPresent()) return made.map(p -> new Piece(p.path(), p.sealed(), p.format()));
        return song.prints().stream().filter(which).map(w -> left.get(w.called())).filter(Objects::nonNull).findFirst()
                .map(t -> new Piece(t.wanted().path(), t.wanted().path(), t.wanted().form().format()));
    }

    /** Put together again from their files, as whoever gets them will: the largest sample by which they differ, in dBFS. */
    private static double difference(PrintFile mix, List<Piece> stems, int jobs) throws IOException {
        List<WavFile> open = new ArrayList<>();
        try (WavFile whole = WavFile.open(mix.sealed())) {
            for (Piece s : stems) open.add(WavFile.open(s.file));
            return Decibels.ofGain(new Remainder(whole, open).largest(jobs));
        } finally {
            open.forEach(WavFile::close);
        }
    }

    private static double limit(PrintFile mix, List<Piece> stems) {
        int bits = mix.format().bits();
        for (Piece s : stems) bits = Math.min(bits, s.format.bits());
        double limit = bits == SampleFormat.FLOAT_32.bits() ? FLOAT : INT_24 + (SampleFormat.INT_24.bits() - bits) * BIT;
        return stems.size() <= MANY ? limit : limit + Decibels.ofPower((double) stems.size() / MANY);
    }

    private void peak(PrintFile p) {
        double ceiling = song.label().checks().ceiling().orElse(p.format().isFloat() ? Double.POSITIVE_INFINITY : 0);
        if (ceiling == Double.POSITIVE_INFINITY) return;
        boolean kept = p.truePeakDbtp() <= ceiling;
        add(Song.Check.PEAK, kept, "%s %s (%s or less is wanted)%s", name(p), level(p.truePeakDbtp(), "has a true peak of %.2f dBTP", "is silent"),
                Unit.DBTP.format(ceiling),
                kept ? "" : "; end the chain of the mix with '- limit: { ceiling: " + Unit.DBTP.format(Math.min(ceiling, USUAL_CEILING)) + " }'");
    }

    /**
     * A share of the mix is what it is, so that shares add up; limited is only the whole. Where it goes over the ceiling that the mix is held under, that is
     * told, and fails nothing: the mix itself is asked.
     */
    private void alternatePeak(PrintFile p) {
        double ceiling = mixCeiling().orElse(p.format().isFloat() ? Double.POSITIVE_INFINITY : 0);
        if (p.truePeakDbtp() <= ceiling) return;
        findings.add(new Finding(Song.Check.PEAK, State.TOLD,
                String.format(Locale.ROOT, "%s has a true peak of %.2f dBTP, over the %s of the mix: as a share of that it is not limited by itself; where it "
                        + "is played alone turn it down by %.1f dB, or lower the ceiling of the mix",
                name(p), p.truePeakDbtp(), Unit.DBTP.format(ceiling), Math.ceil(10 * (p.truePeakDbtp() - ceiling)) / 10)));
    }

    /** What the chain of the mix ends with, where that is a limiter. */
    private OptionalDouble mixCeiling() {
        List<Link> links = song.mix().links();
        if (links.isEmpty() || !(links.get(links.size() - 1) instanceof Link.Use last)) return OptionalDouble.empty();
        return last.step().ceiling(last.values());
    }

    private void sides(PrintFile p) {
        boolean left = p.peakDbfs(0) < Renderer.QUIET_DBFS, right = p.peakDbfs(1) < Renderer.QUIET_DBFS;
        if (left != right) add(Song.Check.SIDES, false, "%s is silent on the %s", name(p), left ? "left" : "right");
    }

    private void mono(PrintFile p) {
        FoldDown.Loss worst = p.foldDown().orElseThrow();
        boolean turned = p.correlation() < 0;
        add(Song.Check.MONO, worst.db() <= MOST_LOST && !turned, "%s loses at most %.1f dB in mono, at %s (%.0f dB or less is wanted)%s%s", name(p), worst.db(),
                Unit.HZ.format(worst.hz(), 0), MOST_LOST,
                Double.isNaN(p.correlation()) ? "" : String.format(Locale.ROOT, ", correlation %.2f", p.correlation()),
                        turned ? ": its sides are against each other" : "");
    }
}
