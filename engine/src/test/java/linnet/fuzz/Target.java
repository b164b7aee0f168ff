package linnet.fuzz;

import com.sun.management.ThreadMXBean;
import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import linnet.audio.SoundFileException;
import linnet.text.Problem;
import linnet.text.ProblemsException;

/** Everything that reads what others wrote. */
enum Target {
    WAV(new Sounds.Wav()),
    CUE(new Sounds.Cue()),
    BEXT(new Sounds.Broadcast()),
    CHAIN(new Texts.Chains()),
    SONG(new Texts.Songs()),
    MARKS(new Texts.MarkLists()),
    NOTES(new Texts.NoteLists()),
    FACTS(new Facts());

    /** Of an input; larger ones are not tried. */
    static final int LARGEST = 1 << 16;
    /** Of processor time, so that a machine with other work does not matter. */
    private static final double MOST_SECONDS = 2;
    private static final int LONGEST_MESSAGE = 600;

    private final Reader reader;

    Target(Reader reader) {
        this.reader = reader;
    }

    String word() {
        return name().toLowerCase(Locale.ROOT);
    }

    static Target of(String word) {
        return valueOf(word.toUpperCase(Locale.ROOT));
    }

    /**
     * Reads an input, and throws whatever should not be: an exception that is no refusal, a refusal that explains nothing, a reading that takes
     * too long or too much memory, or that does not survive being written and read again.
     */
    void check(byte[] input, Path folder, boolean thorough) {
        // The first reading of a kind loads classes too: what one takes is told by doing it again.
        Optional<String> much = took(input, folder, thorough);
        if (much.isPresent()) much = took(input, folder, thorough);
        if (much.isPresent()) throw new AssertionError(input.length + " bytes took " + much.get());
    }

    /** What a reading took, if that is too much. */
    private Optional<String> took(byte[] input, Path folder, boolean thorough) {
        ThreadMXBean thread = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        long bytes = thread.getCurrentThreadAllocatedBytes(), time = thread.getCurrentThreadCpuTime();
        read(input, folder, thorough);
        double seconds = (thread.getCurrentThreadCpuTime() - time) * 1e-9;
        bytes = thread.getCurrentThreadAllocatedBytes() - bytes;
        return seconds > MOST_SECONDS || bytes > reader.mostBytes() ? Optional.of(String.format(Locale.ROOT, "%.2f s and %d MiB", seconds, bytes >> 20))
                : Optional.empty();
    }

    private void read(byte[] input, Path folder, boolean thorough) {
        try {
            reader.read(input, folder, thorough);
        } catch (ProblemsException e) {
            explained(e);
        } catch (SoundFileException e) {
            if (!e.getMessage().matches("[^;]+\\.wav: [^;]+; [^;]+")) throw new AssertionError("a refusal in another form: " + e.getMessage(), e);
            clean(e.getMessage());
        } catch (IOException e) {
            throw new AssertionError("no refusal of ours", e);
        }
    }

    private static void explained(ProblemsException e) {
        if (e.problems().isEmpty()) throw new AssertionError("refused without a reason", e);
        for (Problem p : e.problems()) {
            List<String> lines = p.at().source().lines();
            // A text may end before it says what it should: then the place is its end.
            boolean inside = p.at().line() >= 1 && p.at().line() <= lines.size() + 1 && p.at().column() >= 1 && p.at().column() <= p.at().source()
                    .line(p.at().line()).length() + 1;
            if (!inside && !lines.isEmpty()) throw new AssertionError("a place outside the text: " + p.at() + ": " + p.message());
            if (p.message().isBlank() || p.message().length() > LONGEST_MESSAGE) {
                throw new AssertionError("a message of " + p.message().length() + " characters: " + p.message());
            }
            List<String> shown = p.show().lines().toList();
            if (shown.size() > 3) throw new AssertionError("a problem in more than a line: " + p.show());
            shown.forEach(Target::clean);
        }
    }

    /** Nothing in a text of a stranger may move the cursor of a terminal, break a line or turn its direction. */
    private static void clean(String line) {
        for (char c : line.toCharArray()) {
            boolean bad = switch (Character.getType(c)) {
                case Character.CONTROL, Character.LINE_SEPARATOR, Character.PARAGRAPH_SEPARATOR -> true;
                case Character.FORMAT -> c >= '\u202A' && c <= '\u202E' || c >= '\u2066' && c <= '\u2069';
                default -> false;
            };
            if (bad) throw new AssertionError(String.format(Locale.ROOT, "U+%04X is shown as it is: %s", (int) c, line));
        }
    }
}
