package linnet.cli;

import linnet.render.Renderer;
import me.tongfei.progressbar.ProgressBar;
import me.tongfei.progressbar.ProgressBarBuilder;
import me.tongfei.progressbar.ProgressBarStyle;

/** A line that shows how far a render is: on a terminal only. */
final class Progress implements Renderer.Progress {
    private static final int STEPS = 100;

    private ProgressBar bar;
    private final String what;

    private Progress(String what) {
        this.what = what;
    }

    /** Silent in a pipe, and where the user wants only JSON. */
    static Renderer.Progress onTerminal(String what, boolean quiet) {
        return quiet || System.console() == null ? SILENT : new Progress(what);
    }

    @Override
    public void at(int stage, int stages, double share) {
        if (bar == null) {
            bar = new ProgressBarBuilder().setTaskName(what).setInitialMax(STEPS).setUpdateIntervalMillis(100).hideEta()
                    .setStyle(System.getenv("NO_COLOR") == null ? ProgressBarStyle.UNICODE_BLOCK : ProgressBarStyle.ASCII).clearDisplayOnFinish().build();
        }
        bar.stepTo((long) (STEPS * (stage + share) / stages));
        if (stage == stages - 1 && share >= 1) bar.close();
    }
}
