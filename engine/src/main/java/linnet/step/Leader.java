package linnet.step;

/**
 * A kernel that changes levels by what it hears, and can tell others to change theirs alike: so that what it does to a sum is shared
 * out among the signals that were added up.
 */
public interface Leader extends Kernel {
    /** One that has processed nothing yet, set as this one was when it began: what was found by hearing is not heard again. */
    Leader afresh();

    /**
     * Does to its own blocks what this kernel did to its last: the same gain for each sample and band, through delays and filters of its own. It
     * is handed each block right after this kernel, for the same time. Followers of signals that add up to what this kernel hears add
     * up to what it makes, but for the rounding.
     */
    Kernel follower();
}
