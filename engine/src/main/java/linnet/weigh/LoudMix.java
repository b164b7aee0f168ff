package linnet.weigh;

import java.io.IOException;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.chain.Reach;
import linnet.setting.Unit;
import linnet.setting.Value;
import linnet.song.Song;
import linnet.song.Wishes;
import linnet.text.ProblemsException;

/** A mix that is to be so loud. */
final class LoudMix {
    /** More than this lost in loudness, in LU, is heard as squashed; common practice. */
    private static final double MOST_LOST = 2;

    private final Weigher weigher;
    private final Wishes.Loud wish;

    LoudMix(Weigher weigher, Wishes.Loud wish) {
        this.weigher = weigher;
        this.wish = wish;
    }

    /** By how many dB the mix is turned up into its limiter until it is as loud as is wanted; empty where it has no loudness. */
    OptionalDouble gain(Song song) throws ProblemsException, IOException {
        double before = Double.NaN;
        Trials trials = new Trials();
        for (OptionalDouble next = OptionalDouble.of(0); next.isPresent(); ) {
            double gain = next.getAsDouble();
            double lufs = weigher.weigh("mix, trial " + trials.count(),
                    turned(song, gain).printing(List.of(new Song.Wanted(wish.at(), new Song.Content.Mix(true), "mix", Optional.empty(), Optional.empty()))))
                    .get("mix").integrated();
            if (!Double.isFinite(lufs)) {
                weigher.problems().report(wish.at().at(), "the mix is silent, or too short to have a loudness");
                return OptionalDouble.empty();
            }
            if (trials.count() == 0) before = lufs;
            next = trials.after(gain, wish.lufs() - lufs);
        }
        double gain = trials.best().level(), miss = trials.best().miss(), lufs = wish.lufs() - miss, lost = before + gain - lufs;
        weigher.found(Weighing.Kind.LOUDNESS, "mix", gain,
                Unit.PLAIN.format(lufs, 1) + " LUFS" + (lost > 0.05 ? ", of which limiting takes " + Unit.PLAIN.format(lost, 1) + " LU" : ""));
        if (Math.abs(miss) > Trials.WANTED_NEAR) {
            weigher.problems().report(wish.at().at(), "the limiter gives no more than " + Unit.PLAIN.format(lufs, 1) + " LUFS under "
                    + Unit.DBTP.format(wish.ceiling()) + ": wish for less, or even out what is loud before it");
        }
        else if (lost > MOST_LOST) weigher.found(Weighing.Kind.LIMITING, "mix", lost, "limited hard",
                "it loses " + Unit.PLAIN.format(lost, 1)
                + " LU in its limiter; softer, or with its peaks evened out before, it would sound as loud and less squashed");
        return OptionalDouble.of(gain);
    }

    /** With the mix turned up by so many dB. */
    Song turned(Song song, double gain) {
        Reach reach = new Reach(song.mix(), weigher.problems());
        Optional<Reach.Found> level = reach.find(Wishes.Loud.TRIM + " level", wish.at().at());
        return level.map(l -> song.with(reach.with(l, new Value.Amount(Math.max(l.setting().min(), gain)), wish.at().at()))).orElse(song);
    }
}
