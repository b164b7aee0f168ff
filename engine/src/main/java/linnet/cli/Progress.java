package linnet.cli;

import linnet.render.Renderer;
import linnet.render.SideBySide;
import me.tongfei.progressbar.ProgressBar;
import me.tongfei.progressbar.ProgressBarBuilder;
import me.tongfei.progressbar.ProgressBarStyle;

/** A line that shows how far a render is: on a terminal only. It goes with the render, also where the user ends that: a shell writes on where it stands. */
final class Progress implements Renderer.Progress {
    private static final int STEPS = 100;

    private final String what;
    private ProgressBar bar;
    private boolean over;

    private Progress(String what) {
        this.what = what;
    }

    /** Silent in a pipe, and where the user wants only JSON. */
    static Renderer.Progress onTerminal(String what, boolean quiet) {
        return quiet || System.console() == null ? SILENT : new Progress(what);
    }

    @Override
    public synchronized void at(int stage, int stages, double share) {
        if (over) return;
        if (bar == null) {
            bar = new ProgressBarBuilder().setTaskName(what).setInitialMax(STEPS).setUpdateIntervalMillis(100).hideEta()
                    .setStyle(System.getenv("NO_COLOR") == null ? ProgressBarStyle.UNICODE_BLOCK : ProgressBarStyle.ASCII).clearDisplayOnFinish().build();
            SideBySide.atEnd(this::end);
        }
        bar.stepTo((long) (STEPS * (stage + share) / stages));
        if (stage == stages - 1 && share >= 1) end();
    }

    private synchronized void end() {
        if (!over) bar.close();
        over = true;
    }
}
