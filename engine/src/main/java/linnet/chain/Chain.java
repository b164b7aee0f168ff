package linnet.chain;

import java.util.List;
import java.util.OptionalDouble;

/**
 * A chain as the text gives it, everything checked that can be checked without a take.
 *
 * @param title what it is called
 * @param about when to use it
 * @param tempo beats per minute, where the text gives it
 * @param links its steps in order; those that are off are left out
 */
public record Chain(String title, String about, OptionalDouble tempo, List<Link> links) {}
