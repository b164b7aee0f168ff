package linnet.yaml;

import java.util.Set;
import org.yaml.snakeyaml.LoaderOptions;
import org.yaml.snakeyaml.events.CollectionEndEvent;
import org.yaml.snakeyaml.events.CollectionStartEvent;
import org.yaml.snakeyaml.events.Event;
import org.yaml.snakeyaml.events.MappingStartEvent;
import org.yaml.snakeyaml.events.NodeEvent;
import org.yaml.snakeyaml.events.ScalarEvent;
import org.yaml.snakeyaml.parser.ParserImpl;
import org.yaml.snakeyaml.reader.StreamReader;

/** The keys of the table that a text is, one after the other, with nothing made of what stands behind them. */
final class TopKeys {
    /** Deeper than any text that is read; what is deeper takes the library long. */
    private static final int DEEPEST = 100;

    private final ParserImpl events;

    TopKeys(String text) {
        events = new ParserImpl(new StreamReader(text), new LoaderOptions());
    }

    /** Whether one of these is among them, before the text ends or is wrong. */
    boolean any(Set<String> wanted) {
        try {
            while (!(events.peekEvent() instanceof NodeEvent)) if (events.getEvent().is(Event.ID.StreamEnd)) return false;
            if (!(events.getEvent() instanceof MappingStartEvent)) return false;
            while (!(events.peekEvent() instanceof CollectionEndEvent)) {
                if (events.peekEvent() instanceof ScalarEvent key && wanted.contains(key.getValue())) return true;
                // A key, then its value.
                if (!skip() || !skip()) return false;
            }
            return false;
        } catch (RuntimeException e) {
            // The library trips over more than it refuses; what is wrong is told by who reads the text.
            return false;
        }
    }

    /** Goes past a value with all that is in it; false where that is too deep. */
    private boolean skip() {
        int depth = 0;
        do {
            Event e = events.getEvent();
            if (e instanceof CollectionStartEvent) depth++;
            else if (e instanceof CollectionEndEvent) depth--;
        } while (depth > 0 && depth <= DEEPEST);
        return depth == 0;
    }
}
