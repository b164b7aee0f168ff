package linnet.song;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import linnet.setting.Fixed;
import linnet.setting.Settings;
import linnet.setting.Unit;
import linnet.text.Nearest;
import linnet.text.Word;
import linnet.yaml.Tree;

/** Reads what parts, groups and returns have behind their chain: a level, a place, sends. */
final class Faders {
    private static final Settings SETTINGS = new Settings();
    static final Fixed LEVEL = SETTINGS.fixed("level", Unit.DB).range(Song.Fader.SOFTEST, Song.Fader.LOUDEST).usual("0 dB")
            .doc("How loud it is in the sum, after its chain.");
    static final Fixed PAN = SETTINGS.fixed("pan", Unit.PAN).range(-100, 100).usual("centre").doc("Its place between left and right, at constant power.");

    private static final Fixed SENDS = SETTINGS.fixed("sends level", Unit.DB).range(Song.Fader.SOFTEST, Song.Fader.LOUDEST).usual("0 dB")
            .doc("How much louder or softer all of its sends are.");

    private static final Shape SEND = new Shape("a send").key("level", LEVEL.doc(), new Form.Amount(LEVEL), WishReader.WET_FORM)
            .key("before", "'level' takes it before the sender's own level.", Form.oneOf("level"));
    private static final Form SEND_FORMS = new Form.Table(new Shape("sends")
            .others("", "A return, with how much of it is sent there: a level, or how loud what the return makes of it should be.",
                    Form.either(new Form.Amount(LEVEL), WishReader.WET_FORM, new Form.Table(SEND))));

    /** Where the measuring of a send by loudness begins, in dB. */
    private static final double GUESS = -12;

    private final Reading text;
    private final WishReader wishes;

    Faders(Reading text, WishReader wishes) {
        this.text = text;
        this.wishes = wishes;
    }

    static Shape declare(Shape strip) {
        return strip.number(LEVEL).number(PAN);
    }

    static Shape declareSends(Shape strip) {
        return strip.key("sends", "Returns with a level, taken after the sender's own.", SEND_FORMS).number(SENDS);
    }

    Song.Fader fader(Fields f) {
        return new Song.Fader(f.number(LEVEL), f.number(PAN));
    }

    /** A level for each return, {@code plate: -14 dB}, {@code plate: 10 LU under}, or {@code plate: { level: -14 dB, before: level }}. */
    List<Song.Send> sends(Word from, Fields f) {
        Optional<Tree> tree = f.get("sends");
        if (tree.isEmpty()) return List.of();
        if (!(tree.get() instanceof Tree.Table table)) {
            text.problems().report(tree.get().at(), "sends are returns with a level, such as { plate: -14 dB }");
            return List.of();
        }
        double all = f.number(SENDS);
        List<Song.Send> sends = new ArrayList<>();
        for (Tree.Entry e : table.entries().values()) {
            if (e.value() instanceof Tree.Table) {
                Fields s = text.fields(SEND, e.value());
                Optional<Word> before = s.word("before");
                before.filter(w -> !w.text().equals("level"))
                        .ifPresent(w -> text.problems()
                                .report(w.at(), "a send is taken 'before: level', or after it" + Nearest.hint(w.text(), List.of("level"))));
                boolean isWet = s.get("level").filter(v -> wishes.isWet(from, e.key(), v, all)).isPresent();
                sends.add(new Song.Send(e.key(), isWet ? GUESS : all + s.number(LEVEL), before.isPresent()));
            } else if (wishes.isWet(from, e.key(), e.value(), all)) {
                sends.add(new Song.Send(e.key(), GUESS, false));
            } else {
                text.number(LEVEL, e.value()).ifPresent(db -> sends.add(new Song.Send(e.key(), all + db, false)));
            }
        }
        return sends;
    }
}
