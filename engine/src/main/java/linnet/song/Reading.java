package linnet.song;

import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import linnet.chain.Chain;
import linnet.chain.ChainReader;
import linnet.chain.SettingsReader;
import linnet.setting.Quantity;
import linnet.setting.Value;
import linnet.setting.YesNo;
import linnet.step.Catalogue;
import linnet.text.Nearest;
import linnet.text.Problems;
import linnet.text.ProblemsException;
import linnet.text.Word;
import linnet.yaml.Siblings;
import linnet.yaml.Tree;

/**
 * A song file while it is read: what all of its readers share.
 *
 * @param file the song
 * @param catalogue the steps there are
 * @param guide reads the cues of sound files
 */
record Reading(Path file, Catalogue catalogue, Guide guide, Problems problems) {
    static final Chain NONE = new Chain("", "", List.of());

    /** A mapping with what it may have. */
    Fields fields(Shape shape, Tree tree) {
        return new Fields(shape, tree, problems);
    }

    /** Entries of a table of names. */
    List<Tree.Entry> entries(Fields of, String name) {
        Optional<Tree> tree = of.get(name);
        if (tree.isEmpty()) return List.of();
        if (tree.get() instanceof Tree.Table table) return List.copyOf(table.entries().values());
        problems.report(tree.get().at(), name + " are names with their settings, one a line");
        return List.of();
    }

    /** A chain file, or steps; without either a chain that does nothing. */
    Chain chain(Fields of, String name) throws ProblemsException {
        return of.get(name).isEmpty() ? NONE : ChainReader.read(of.get(name).get(), file, catalogue, problems);
    }

    /** A file that lies where the text says, relative to the song. */
    Optional<Path> beside(Word word) {
        try {
            return Optional.of(Siblings.named(file.toAbsolutePath().getParent().resolve(word.text()).normalize()));
        } catch (InvalidPathException e) {
            problems.report(word.at(), "this is no path: " + e.getReason());
            return Optional.empty();
        }
    }

    /** A number in the unit of a setting. */
    OptionalDouble number(Quantity setting, Tree tree) {
        Optional<Value> value = new SettingsReader(problems).quantity(setting, tree);
        return value.isPresent() ? OptionalDouble.of(((Value.Amount) value.get()).value()) : OptionalDouble.empty();
    }

    /** Whether something is so: yes or no, and no where it is not given. */
    boolean yes(Fields of, String name) {
        Optional<Word> word = of.word(name);
        if (word.isEmpty()) return false;
        Optional<Boolean> yes = YesNo.read(word.get().text());
        if (yes.isEmpty()) problems.report(word.get().at(), "'" + name + "' is yes or no" + Nearest.hint(word.get().text(), YesNo.NAMED));
        return yes.orElse(false);
    }
}
