package linnet.chain;

import java.util.List;

/**
 * A chain as the text gives it, everything checked that can be checked without a take.
 *
 * @param title what it is called
 * @param about when to use it
 * @param links its steps in order; those that are off are left out
 */
public record Chain(String title, String about, List<Link> links) {}
