package linnet.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import linnet.list.Seal;
import linnet.yaml.Yaml;
import picocli.CommandLine.Option;

/** Where a list of a take goes, and that nothing is lost there that a person wrote. */
final class ListFile {
    @Option(names = "--out", paramLabel = "LIST.yaml", description = "The list to write. Usual: beside the take, where the other commands look for it.")
    Path out;

    @Option(names = "--force", description = "Replace a list that was corrected by hand, or another file.")
    boolean force;

    /**
     * The file, when all was refused that can be before anything is heard.
     *
     * @param usual where it goes if nothing else is said
     * @param noun what is in it
     */
    WholeFile open(Path usual, String noun) {
        return open(usual, noun, null);
    }

    /**
     * The same.
     *
     * @param like another list of which some is carried over; null if there is none
     */
    WholeFile open(Path usual, String noun, Path like) {
        Path path = out == null ? usual : out;
        if (!Yaml.isName(path.toString())) throw new Refusal(Exit.USAGE, "--out wants a file ending in .yaml or .yml, not " + path);
        boolean ours = Seal.holds(path);
        if (!force && Files.isRegularFile(path) && !ours) {
            if (isSame(path, like)) {
                throw new Refusal(Exit.USAGE, path + " was corrected by hand, and is the list that --like reads: words and what is kept are carried over, "
                        + "other rows that were moved, added or taken out by hand are not; say --force to put the new list in its place, or write another "
                        + "file with --out");
            }
            throw new Refusal(Exit.USAGE,
                    path + " was corrected by hand, or is no list of " + noun + "; say --force to lose what is in it, or write another file with --out");
        }
        WholeFile list = new WholeFile(path, force || Files.exists(path, LinkOption.NOFOLLOW_LINKS) && ours);
        list.refuse();
        return list;
    }

    private static boolean isSame(Path path, Path like) {
        try {
            return like != null && Files.isSameFile(path, like);
        } catch (IOException e) {
            return false;
        }
    }
}
