package linnet.cli;

import java.util.List;
import linnet.report.Clock;
import linnet.setting.Unit;
import linnet.song.Song;
import linnet.text.Word;

/** What is in a print, for whoever has the files and not the song: a fixed phrase for each kind. */
record WhatItIs(Song song) {
    private static final String UNTOUCHED = ", before its level, its place and the chains of groups and mix";
    /** What hears the whole, as the sheet says once. */
    private static final String WITH = ", with the bus", WITHOUT = ", without the bus";
    private static final int MOST_NAMES = 4;

    /**
     * Of one print.
     *
     * @param from second of the song at which its file begins
     * @param to second at which that ends
     */
    String words(Song.Wanted wanted, double from, double to) {
        String what = wanted.name().text();
        if (wanted.range().isPresent()) return what + " from " + Clock.of(from) + " to " + Clock.of(to) + ": " + kind(wanted.content());
        return wanted.called().equals(what) ? kind(wanted.content()) : what + ": " + kind(wanted.content());
    }

    /** Wherever it begins and whatever it is called. */
    String kind(Song.Content content) {
        if (content instanceof Song.Content.Mix mix) {
            if (mix.bus()) return "all of it" + (hasBus() ? WITH : "");
            return "all of it" + WITHOUT + ", for mastering" + (hasBus() ? ": stems without bus add up to it, those with it do not" : "");
        }
        if (content instanceof Song.Content.Vocals vocals) return "everything but the instrumental" + (vocals.bus() ? inTheMix("it stands") : WITHOUT);
        if (content instanceof Song.Content.Strip strip) return strip(strip.name()) + (strip.bus() ? inTheMix("it stands") : WITHOUT);
        if (content instanceof Song.Content.Dry dry) return dry.part() + " before anything shapes it: edited and mended" + UNTOUCHED;
        if (content instanceof Song.Content.Untuned untuned) return untuned.part() + " as it was sung: edited, through no step" + UNTOUCHED;
        if (content instanceof Song.Content.Wet wet) return wet.name() + " with what the returns make of it" + inTheMix("it stands");
        if (content instanceof Song.Content.Throws) {
            List<String> returns = song.thrown().stream().map(t -> t.to().text()).distinct().toList();
            boolean one = returns.size() == 1;
            return "what " + String.join(" and ", returns) + (one ? " makes" : " make") + " of thrown words and " + (one ? "has" : "have") + " in it already"
                    + inTheMix("it stands");
        }
        if (content instanceof Song.Content.Turned t) {
            return "the mix with " + t.name() + (t.db() < 0 ? " down " : " up ") + Unit.DB.format(Math.abs(t.db()));
        }
        Song.Content.Without w = (Song.Content.Without) content;
        String without = " without " + w.name() + " and what the returns make of it";
        return w.vocals() ? "the vocals" + without + inTheMix("they stand") : "the mix" + without + ", under the gain that it has in the mix";
    }

    private String inTheMix(String stands) {
        return ", as " + stands + " in the mix" + (hasBus() ? WITH : "");
    }

    private boolean hasBus() {
        return !song.mix().links().isEmpty();
    }

    private String strip(String name) {
        for (Song.Group g : song.groups()) {
            if (g.name().text().equals(name)) {
                return "group of " + (g.parts().size() > MOST_NAMES ? g.parts().size() + " parts"
                        : String.join(", ", g.parts().stream().map(Word::text).toList()));
            }
            if (g.parts().stream().anyMatch(p -> p.text().equals(name))) return "part of " + g.name().text() + " and in that already";
        }
        if (song.returns().stream().anyMatch(r -> r.name().text().equals(name))) return "return";
        return song.instrumental().filter(i -> i.name().text().equals(name)).isPresent() ? "what is played" : "part";
    }
}
