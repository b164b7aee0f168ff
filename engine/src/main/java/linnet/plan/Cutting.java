package linnet.plan;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.function.ToIntFunction;
import linnet.song.Edit;
import linnet.song.Place;
import linnet.song.Song;
import linnet.song.Source;
import linnet.song.Timeline;

/**
 * Turns where a part comes from into pieces in the time of the song.
 *
 * @param rate samples per second of the song
 * @param takes of the song in the order in which the plan counts them
 * @param time of the song
 * @param works the work of a part that is planned already
 */
record Cutting(double rate, List<Path> takes, Timeline time, ToIntFunction<String> works) {
    /** In seconds: how far a join may be moved to where it is not heard, the longest fade that is usual, and the fade of what is cut by hand. */
    private static final double REACH = 0.5, LONGEST = 0.03, EDGE = 0.005;
    /** Less is rounding. */
    private static final double SAME = 1e-6;
    private static final Work.Source SILENCE = Work.Source.Silence.SILENCE;

    Work.Source source(Song.Part part) {
        Source source = part.source();
        if (source instanceof Source.Clip clip && clip.ends().isEmpty()) return new Work.Source.Take(take(clip.take()), at(clip.at()), part.flipped());
        Strip strip = new Strip();
        strip.lay(source.unedited());
        if (source instanceof Source.Edited edited) {
            strip.nudge(edited.of(), edited.later());
            edited.edits().forEach(strip::edit);
        }
        return strip.done(part.flipped());
    }

    private int take(Source.Take take) {
        return takes.indexOf(take.path());
    }

    private long at(double seconds) {
        return Math.round(seconds * rate);
    }

    /** Pieces as they lie so far, and what is silenced in them; all in seconds of the song. */
    private final class Strip {
        private record Cut(String where, double at, boolean exact, double fade) {
            Cut moved(double by) {
                return new Cut(where, at + by, exact, fade);
            }
        }

        private record Marked(Edit.Marked edit, double from, double to) {}

        private List<Work.Piece> pieces = new ArrayList<>();
        private List<Cut> cuts = new ArrayList<>();
        private List<double[]> mutes = new ArrayList<>();
        private List<double[]> fades = new ArrayList<>();
        private List<Marked> marked = new ArrayList<>();

        void lay(Source source) {
            if (source instanceof Source.Comp comp) comp(comp);
            else if (source instanceof Source.Clip clip) clip(clip);
            else pieces.add(new Work.Piece(new Work.Source.Made(works.applyAsInt(((Source.Print) source).part().text())), 0));
        }

        private void clip(Source.Clip clip) {
            double length = clip.to() - clip.from();
            Work.Piece span = new Work.Piece(new Work.Source.Take(take(clip.take()), at(clip.at()) - at(clip.from()), false), 0);
            if (clip.from() > 0) {
                pieces.add(new Work.Piece(SILENCE, 0));
                cuts.add(edge(clip.at() + EDGE / 2));
            }
            pieces.add(span);
            if (clip.to() == Double.POSITIVE_INFINITY) return;
            cuts.add(edge(clip.at() + length - EDGE / 2));
            pieces.add(new Work.Piece(SILENCE, 0));
        }

        private static Cut edge(double at) {
            return new Cut("", at, true, EDGE);
        }

        private void comp(Source.Comp comp) {
            List<Source.Range> ranges = comp.ranges();
            // What begins with the song begins as its take does.
            if (ranges.get(0).from() > 0) pieces.add(new Work.Piece(SILENCE, 0));
            for (int i = 0; i < ranges.size(); i++) {
                Source.Range r = ranges.get(i);
                if (!pieces.isEmpty()) cuts.add(new Cut(r.where().text(), r.from(), r.exact(), r.fade()));
                pieces.add(new Work.Piece(new Work.Source.Take(take(r.take()), at(r.at()), false), 0, r.into()));
                if (r.to() == Double.POSITIVE_INFINITY || i + 1 < ranges.size() && r.to() >= ranges.get(i + 1).from()) continue;
                cuts.add(new Cut(r.until().orElseThrow().text(), r.to(), r.exact(), r.fade()));
                pieces.add(new Work.Piece(SILENCE, 0));
            }
        }

        /** What is sung is moved: the ends of a span of a file lie in that, the places of a comp in the song. */
        void nudge(Source of, double later) {
            pieces.replaceAll(p -> new Work.Piece(p.of(), at(later), p.into()));
            if (of instanceof Source.Clip) cuts.replaceAll(c -> c.moved(later));
        }

        void edit(Edit edit) {
            if (edit instanceof Edit.Mute m) m.where().forEach(r -> mutes.add(new double[] {r.from(), until(r), m.fade()}));
            else if (edit instanceof Edit.Only o) only(o);
            else if (edit instanceof Edit.Fade f) fades.add(new double[] {f.where().from(), f.where().to(), f.in() ? 1 : 0,
                    !f.in() && time.isEnd(f.where().to()) ? 0 : EDGE});
            else if (edit instanceof Edit.Marked m) m.where().forEach(r -> marked.add(new Marked(m, r.from(), until(r))));
            else close((Edit.Close) edit);
        }

        /** Nothing comes back behind the end of the song. */
        private double until(Place.Range stretch) {
            return time.isEnd(stretch.to()) ? Double.POSITIVE_INFINITY : stretch.to();
        }

        private void only(Edit.Only only) {
            double from = Double.NEGATIVE_INFINITY;
            for (Place.Range r : only.where().stream().sorted(Comparator.comparingDouble(Place.Range::from)).toList()) {
                if (r.from() > Math.max(0, from)) mutes.add(new double[] {from, r.from(), only.fade()});
                from = Math.max(from, until(r));
            }
            if (from < Double.POSITIVE_INFINITY) mutes.add(new double[] {from, Double.POSITIVE_INFINITY, only.fade()});
        }

        private void close(Edit.Close close) {
            double from = close.where().from(), to = close.where().to(), gap = to - from;
            int first = soundingBefore(from), next = soundingAt(to);
            // Before the song there is nothing to join to.
            boolean begins = from < EDGE;
            List<Work.Piece> left = new ArrayList<>(begins ? List.of(new Work.Piece(SILENCE, 0)) : pieces.subList(0, first + 1));
            for (Work.Piece p : pieces.subList(next, pieces.size())) left.add(new Work.Piece(p.of(), p.later() - at(gap), p.into()));
            List<Cut> borders = new ArrayList<>(begins ? List.of() : cuts.subList(0, first));
            borders.add(begins ? edge(from + EDGE / 2) : new Cut(close.what().text(), from, close.exact(), close.fade()));
            for (Cut c : cuts.subList(next, cuts.size())) borders.add(c.moved(-gap));
            pieces = left;
            cuts = borders;
            mutes.replaceAll(m -> new double[] {closed(m[0], from, to), closed(m[1], from, to), m[2]});
            mutes.removeIf(m -> m[0] >= m[1]);
            fades.replaceAll(f -> new double[] {closed(f[0], from, to), closed(f[1], from, to), f[2], f[3]});
            fades.removeIf(f -> f[1] - f[0] < 2 * EDGE);
            marked.replaceAll(m -> new Marked(m.edit, closed(m.from, from, to), closed(m.to, from, to)));
        }

        private static double closed(double at, double from, double to) {
            return at <= from ? at : at < to ? from : at - (to - from);
        }

        /** Which piece sounds from there on. */
        private int soundingAt(double at) {
            return (int) cuts.stream().filter(c -> c.at <= at).count();
        }

        /** Which piece sounds up to there. */
        private int soundingBefore(double at) {
            return (int) cuts.stream().filter(c -> c.at < at).count();
        }

        Work.Source done(boolean flipped) {
            // What is nudged to before the song begins comes in as it does.
            Work.Piece first = pieces.get(0);
            boolean early = !(first.of() instanceof Work.Source.Silence) && first.later() + (first.of() instanceof Work.Source.Take t ? t.at() : 0) < 0;
            if (early) {
                pieces.add(0, new Work.Piece(SILENCE, 0));
                cuts.add(0, edge(EDGE / 2));
            }
            List<Work.Border> borders = new ArrayList<>();
            for (int i = 0; i < cuts.size(); i++) borders.add(border(i));
            List<Work.Muted> muted = marked.stream().filter(m -> m.from < m.to)
                    .map(m -> new Work.Muted(m.edit.what().text(), m.edit.kind().mark(), at(m.from), m.to == Double.POSITIVE_INFINITY ? Long.MAX_VALUE
                            : at(m.to), (int) at(m.edit.fade()))).toList();
            return new Work.Source.Edited(pieces, borders, level(), muted, flipped);
        }

        /** Wherever it is moved to, it meets no other. */
        private Work.Border border(int i) {
            Cut cut = cuts.get(i);
            // Before the song there is nothing to join; what comes out of silence may come anywhere.
            double first = pieces.get(0).of() instanceof Work.Source.Silence ? Double.POSITIVE_INFINITY : 2 * cut.at;
            double room = Math.min(i == 0 ? first : cut.at - cuts.get(i - 1).at, i + 1 == cuts.size() ? Double.POSITIVE_INFINITY : cuts.get(i + 1).at - cut.at);
            double fade = Math.min(cut.fade, room / 2), reach = Math.min(REACH, room / 2 - Math.max(fade, LONGEST));
            return new Work.Border(cut.where, at(cut.at), cut.exact ? 0 : Math.max(0, (long) (reach * rate)), (int) at(fade));
        }

        /** Beyond what sounds there is nothing to go from or to come back to: a fade at that side would let through what it silences. */
        private void atEnds() {
            double begins = begins() + SAME, ends = ends() - SAME;
            for (double[] m : mutes) {
                if (m[0] <= begins) m[0] = Double.NEGATIVE_INFINITY;
                if (m[1] >= ends) m[1] = Double.POSITIVE_INFINITY;
            }
            for (double[] f : fades) if (f[2] == 1 ? f[0] <= begins : f[1] >= ends) f[3] = 0;
        }

        /** Before that nothing sounds. What a join brings with it out of silence may begin earlier. */
        private double begins() {
            Work.Piece first = pieces.get(0);
            if (first.of() instanceof Work.Source.Take take) return Math.max(0, (first.later() + take.at()) / rate);
            if (!(first.of() instanceof Work.Source.Silence)) return 0;
            Cut cut = cuts.get(0);
            return cut.exact ? Math.max(0, cut.at - cut.fade / 2) : 0;
        }

        /** After that nothing sounds, as far as is known: where a take ends is not. */
        private double ends() {
            if (!(pieces.get(pieces.size() - 1).of() instanceof Work.Source.Silence)) return Double.POSITIVE_INFINITY;
            Cut cut = cuts.get(cuts.size() - 1);
            return cut.exact ? cut.at + cut.fade / 2 : Double.POSITIVE_INFINITY;
        }

        private Work.Course level() {
            atEnds();
            List<double[]> union = new ArrayList<>();
            for (double[] m : mutes.stream().sorted(Comparator.comparingDouble(x -> x[0])).toList()) {
                double[] last = union.isEmpty() ? null : union.get(union.size() - 1);
                if (last == null || m[0] > last[1]) union.add(m.clone());
                else last[1] = Math.max(last[1], m[1]);
            }
            List<Envelope> all = new ArrayList<>(List.of(Envelope.mutes(union)));
            for (double[] f : fades) all.add(Envelope.fade(f[0], f[1], f[2] == 1, f[3]));
            return Envelope.sum(all, rate);
        }
    }
}
