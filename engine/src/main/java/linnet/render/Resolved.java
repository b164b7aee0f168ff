package linnet.render;

/**
 * A number that was found by hearing.
 *
 * @param step name of the step
 * @param setting which of its settings
 * @param given what the text says; empty if the step found it by itself
 * @param value the number, with unit
 */
public record Resolved(String step, String setting, String given, String value) {}
