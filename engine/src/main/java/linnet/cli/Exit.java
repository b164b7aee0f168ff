package linnet.cli;

/** Exit codes of the program. */
final class Exit {
    static final int DONE = 0;
    /** Something that we have to mend. */
    static final int DEFECT = 1;
    /** The command line. */
    static final int USAGE = 2;
    /** A chain, a song, or a list beside a take. */
    static final int TEXT = 3;
    /** A file of sound, or no room or right to read or write any file. */
    static final int FILE = 4;
    /** What was rendered is not what may be delivered. */
    static final int CHECK = 5;

    private Exit() {}
}
