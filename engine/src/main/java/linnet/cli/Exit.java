package linnet.cli;

/** Exit codes of the program. */
final class Exit {
    static final int DONE = 0;
    static final int DEFECT = 1;
    static final int USAGE = 2;
    static final int TEXT = 3;
    static final int SOUND = 4;
    static final int CHECK = 5;

    private Exit() {}
}
