package linnet.cli;

import linnet.render.Renderer;

/** How many threads a command may use. */
final class Threads {
    static final int USUAL = Renderer.Options.USUAL_THREADS;
    /** The same, where a default must be text. */
    static final String USUAL_TEXT = "" + USUAL;
    private static final int MOST = 64;

    private Threads() {}

    /**
     * Refuses a number that makes no sense.
     *
     * @param option as a user may type it
     */
    static void check(String option, int threads) {
        if (threads < 1 || threads > MOST) throw new Refusal(Exit.USAGE, option + " " + threads + " is outside 1 … " + MOST);
    }
}
