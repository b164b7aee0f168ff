package linnet.weigh;

import java.io.IOException;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import linnet.hear.Marks;
import linnet.plan.SongPlanner;
import linnet.song.Song;
import linnet.text.ProblemsException;

/** What is heard in the parts of a song before a throw is aimed; each is heard once, when it is first asked for. */
public final class PartMarks {
    private final Aiming.Planned plan;
    private final Aiming.Ears ears;
    private final Map<String, Optional<Marks>> heard = new HashMap<>();

    /** @param channelsOfTakes as for {@link SongPlanner#plan} */
    public PartMarks(Song song, double rate, List<Integer> channelsOfTakes, Aiming.Ears ears) {
        plan = () -> SongPlanner.plan(song.still(), rate, channelsOfTakes);
        this.ears = ears;
    }

    /** Empty where nothing is known of a part. */
    public Optional<Marks> of(String part) throws ProblemsException, IOException {
        if (!heard.containsKey(part)) heard.put(part, ears.marks("aimed at " + part, plan, part));
        return heard.get(part);
    }
}
