package linnet.cli;

import java.io.IOException;
import java.util.function.Consumer;
import linnet.plan.SongPlan;
import linnet.render.SongFindings;
import linnet.song.PannedTwice;
import linnet.song.Song;
import linnet.text.ProblemsException;
import linnet.weigh.Aiming;

/** What somebody should think about in a song though nothing is wrong with it, a line each: the same for all who tell of it. */
final class SongRemarks {
    private final Consumer<String> told;

    /** @param told is given each line as soon as it is known */
    SongRemarks(Consumer<String> told) {
        this.told = told;
    }

    /** Plans a song, with what its lists, its text, its throws and the plan give to think about. */
    SongPlan plan(Song song, PlannedSong planned) throws ProblemsException, IOException {
        planned.takes().ofLists().forEach(told);
        song.time().remarks().forEach(told);
        PannedTwice.in(song).forEach(told);
        planned.aiming().told().forEach(told);
        SongPlan plan = planned.plan();
        plan.notes().forEach(told);
        return plan;
    }

    /** What can be heard of it only once it is rendered, and what is of no interest in a song that is refused until then. */
    void found(PlannedSong planned, SongFindings findings) throws ProblemsException, IOException {
        Song song = planned.aiming().song();
        double rate = planned.takes().rate();
        new SameRecordings(song, planned.takes()).lines().forEach(told);
        new UnevenTakes(findings.levels(), planned.takes().paths(), song.time(), rate).lines().forEach(told);
        Aiming.unmet(song, rate, planned.marks(), findings::renderedMarks).forEach(told);
    }
}
