/** What a setting is: unit, range, usual value, sentence; live or fixed; values relative to the singer. */
package linnet.setting;
