package linnet.weigh;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import linnet.song.Song;
import linnet.song.Wishes;

/**
 * The distances that a song wants between its parts, as the finished mix has them. They are found at the base, before the chain of the mix; a compressor or
 * limiter there turns down what is loudest, and moves come on top. Stems are shares of the finished mix, so theirs is the distance in it.
 */
public final class FinishedBalance {
    /** In LU: a smaller difference is not worth a word. Judgement. */
    private static final double CHANGED = 0.5;

    private FinishedBalance() {}

    /** Who knows how loud a print is in each 100 ms, in LUFS. */
    public interface Stems {
        double[] stretches(String print) throws IOException;
    }

    /** A line for each that is another there, of those of which both sides are printed whole. */
    public static List<String> lines(Song song, Stems stems) throws IOException {
        List<String> lines = new ArrayList<>();
        for (Wishes.Balance b : song.wishes().balance()) {
            Optional<String> what = stem(song, b.what().text()), against = stem(song, b.against().text());
            if (what.isEmpty() || against.isEmpty()) continue;
            Scale.Balance is = scale(stems.stretches(what.get())).over(scale(stems.stretches(against.get())));
            if (!(Math.abs(is.lu() - b.lu()) >= CHANGED)) continue;
            lines.add(String.format(Locale.ROOT, "%s: %.1f LU %s %s in the finished mix, where both sound: %d s; %s were asked, before its chain and moves",
                    b.what().text(), Math.abs(is.lu()), is.lu() < 0 ? "under" : "over", b.against().text(), Math.round(is.seconds()), b.words()));
        }
        return lines;
    }

    private static Scale scale(double[] stretches) {
        return new Scale(Double.NaN, stretches, new double[0]);
    }

    private static Optional<String> stem(Song song, String name) {
        return song.prints().stream().filter(w -> w.range().isEmpty() && w.content().equals(new Song.Content.Strip(name, true))).map(Song.Wanted::called)
                .findFirst();
    }
}
